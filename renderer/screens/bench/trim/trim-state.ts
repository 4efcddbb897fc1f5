/** What the window itself remembers while trimming; everything that counts is in the archive. */
import { makeStore } from '../../../bridge/store.ts';

export type PaneId = 'track' | 'batch';
/** One cut at a time, or all as a list. */
export type CutsView = 'one' | 'all';

export const paneStore = makeStore<PaneId>('track');
export const cutsViewStore = makeStore<CutsView>('one');
export const isMutedStore = makeStore<boolean>(false);

/** The pass whose cuts were asked for in this very window, with the core running ever since. */
export interface AskedPass {
  readonly serial: string;
  readonly pass: number;
}
/**
 * Null after the window or the core began anew: then nobody knows which cuts were made meanwhile, and the piece is to be
 * measured before anything else.
 */
export const askedStore = makeStore<AskedPass | null>(null);
/** A virtual hand cuts. */
export const handStore = makeStore<boolean>(false);
