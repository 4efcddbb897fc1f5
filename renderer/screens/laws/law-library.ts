/** The law library as the window knows it: every kept revision, grouped by law. */
import type { CommandOutput } from '../../../src/contract/commands.ts';
import type { LawData } from '../../../src/law/law.ts';
import { callCore } from '../../bridge/calls.ts';
import { attempt } from '../../bridge/station.ts';
import { makeStore } from '../../bridge/store.ts';

export type KeptLaw = CommandOutput<'law.list'>[number];

export interface LawFamily {
  readonly id: string;
  /** Newest first. */
  readonly revisions: readonly KeptLaw[];
}

/** Laws by name, revisions newest first. */
export function families(kept: readonly KeptLaw[]): readonly LawFamily[] {
  const byId = new Map<string, KeptLaw[]>();
  for (const entry of kept) byId.set(entry.data.id, [...(byId.get(entry.data.id) ?? []), entry]);
  return [...byId]
    .map(([id, revisions]) => ({ id, revisions: revisions.toSorted((a, b) => b.data.revision - a.data.revision) }))
    .toSorted((a, b) => a.id.localeCompare(b.id, 'en'));
}

/** The number the next revision of a law gets. */
export const nextRevision = (kept: readonly KeptLaw[], id: string): number =>
  Math.max(0, ...kept.filter((entry) => entry.data.id === id).map((entry) => entry.data.revision)) + 1;

export interface LawKey {
  readonly id: string;
  readonly revision: number;
}

export const findKept = (kept: readonly KeptLaw[] | null, key: LawKey | null): KeptLaw | null =>
  kept?.find((entry) => entry.data.id === key?.id && entry.data.revision === key.revision) ?? null;

/** Null until read. */
export const lawLibrary = makeStore<readonly KeptLaw[] | null>(null);

export async function readLaws(): Promise<void> {
  const list = await attempt(() => callCore('law.list', {}));
  if (list !== null) lawLibrary.set(list);
}

/** Whether two laws are the same in everything but the revision number. */
export function isSameLaw(a: LawData, b: LawData): boolean {
  const bare = (law: LawData): string => JSON.stringify({ ...law, revision: 0 });
  return bare(a) === bare(b);
}
