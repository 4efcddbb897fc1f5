/** What is to be measured next: the slip that travels with the piece. Kept while screens change. */
import { makeStore } from '../../bridge/store.ts';

export interface Scan {
  readonly text: string;
  readonly at: number;
}

export const scannedStore = makeStore<Scan | null>(null);
export const chosenOperator = makeStore<string | null>(null);
export const chosenLaw = makeStore<string | null>(null);
export const chosenBatch = makeStore<string>('');
export const chosenJob = makeStore<'measure' | 'goodsIn' | 'retest' | 'trim'>('measure');
/** The serial in the scan field. */
export const serialField = makeStore<string>('');
