/** Shape of vectors.json; explained in SPEC.md, section 18. */
import type { WireLine } from '../codec/line.ts';
import type { OrderFault } from '../codec/words.ts';

export type Direction = 'toRig' | 'toStation';

export interface LineVector {
  readonly name: string;
  readonly direction: Direction;
  /** With the LF; one character is one byte. */
  readonly bytes: string;
  readonly expect:
    | { readonly ok: true; readonly line: WireLine }
    | { readonly ok: false; readonly reason: 'length' | 'charset' | 'crc' | 'shape' };
  /** Orders and express lines only: what the table says, null when nothing. */
  readonly order?: OrderFault | null;
}

export interface StreamVector {
  readonly name: string;
  readonly bytes: string;
  /** The good lines in it, without LF, in order. */
  readonly lines: readonly string[];
}

export type Expected =
  | { readonly exact: string }
  | { readonly like: Pick<WireLine, 'kind'> & Partial<WireLine> }
  /** The same bytes as the one line expected in that step. */
  | { readonly again: number };

export interface ExchangeStep {
  readonly send?: string;
  readonly restart?: true;
  /** Interlocks set by hand before the step: 1 is safe. */
  readonly locks?: { readonly g: 0 | 1; readonly e: 0 | 1; readonly p: 0 | 1 };
  /** True: send no heartbeat during this step. */
  readonly quiet?: true;
  readonly expect: readonly Expected[];
}

export interface ExchangeVector {
  readonly name: string;
  readonly steps: readonly ExchangeStep[];
}

export interface Vectors {
  readonly protocol: 1;
  readonly lines: readonly LineVector[];
  readonly streams: readonly StreamVector[];
  readonly exchanges: readonly ExchangeVector[];
}
