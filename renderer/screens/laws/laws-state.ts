/** What the Laws screen shows; a draft outlives a look at another screen. */
import { makeStore } from '../../bridge/store.ts';
import type { DraftHistory } from './draft-history.ts';
import type { LawKey } from './law-library.ts';

export interface Editing {
  readonly history: DraftHistory;
  /** The kept revision the draft began from; null when it came from a file of a new law. */
  readonly base: LawKey | null;
  /** Where it came from, in words. */
  readonly origin: string;
}

/** A file that could not be taken, with everything that is wrong in it. */
export interface RefusedFile {
  readonly name: string;
  readonly message: string;
  readonly details: readonly string[];
}

export const chosenLaw = makeStore<LawKey | null>(null);
/** Revision of the same law that is laid over; null = none. */
export const laidRevision = makeStore<number | null>(null);
export const editing = makeStore<Editing | null>(null);
export const refusedFile = makeStore<RefusedFile | null>(null);
/** A sentence about what was just done; null = nothing to say. */
export const lawNote = makeStore<string | null>(null);
