import { formatLot, lotOf } from '../fader/lot.ts';
import { parseSerialNumber } from '../fader/serial-number.ts';
import type { ToolKind } from '../trim/belief.ts';

export interface TrimRequest {
  readonly serial: string;
  readonly operator: string;
  readonly lawId: string;
  readonly lawRevision: number | null;
  readonly batch: string | null;
  /** Absent = the tool of the settings. */
  readonly tool?: { readonly id: string; readonly kind: ToolKind } | undefined;
}

/** What names the film a piece was cut from: its batch, else the lot in its serial number. */
export function sheetOf({ serial, batch }: Pick<TrimRequest, 'serial' | 'batch'>): string {
  return batch ?? formatLot(lotOf(parseSerialNumber(serial)));
}
