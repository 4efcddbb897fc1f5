import { crc32 } from 'node:zlib';
import type { Cell } from './cells.ts';

/** Everything of a run as it lies in the database, in the order of the field maps. */
export interface RunContent {
  readonly head: readonly Cell[];
  readonly rig: readonly Cell[];
  /** JSON of the rig's limits. */
  readonly rigLimits: string | null;
  /** Bytes as `packedReadings` and `packedPoints` make them. */
  readonly readings: Uint8Array;
  readonly points: Uint8Array;
  /** Texts as `columnText` makes them. */
  readonly pointWords: string;
  readonly checks: string;
  readonly traces: readonly (readonly Cell[])[];
  /** Bytes as `packedTrace` makes them, one per trace. */
  readonly samples: readonly Uint8Array[];
}

/**
 * CRC-32 (ISO-HDLC) over a run, 0..2^32-1, so that a full check finds a value that changed on the disk or by another
 * tool's hand. It guards against accident, not against intent.
 */
export function runChecksum(content: RunContent): number {
  const { head, rig, rigLimits, traces, pointWords, checks } = content;
  let checksum = crc32(JSON.stringify([head, rig, rigLimits, traces, pointWords, checks]));
  checksum = crc32(content.points, crc32(content.readings, checksum));
  for (const samples of content.samples) checksum = crc32(samples, checksum);
  return checksum;
}
