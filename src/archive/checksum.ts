import { crc32 } from 'node:zlib';
import type { Cell } from './cells.ts';

/** Everything of a run as it lies in the database, in the order of the field maps. */
export interface RunContent {
  readonly head: readonly Cell[];
  readonly rig: readonly Cell[];
  /** JSON of the rig's limits. */
  readonly rigLimits: string | null;
  /** Texts as `columnText` makes them. */
  readonly pointWords: string;
  readonly checks: string;
  readonly traces: string;
  /** Bytes as `packedPoints`, `packedReadings` and `packedTraces` make them. */
  readonly points: Uint8Array;
  readonly readings: Uint8Array;
  readonly samples: Uint8Array;
}

/**
 * CRC-32 (ISO-HDLC) over a run, 0..2^32-1, so that a full check finds a value that changed on the disk or by another
 * tool's hand. It guards against accident, not against intent.
 */
export function runChecksum(content: RunContent): number {
  const { head, rig, rigLimits, pointWords, checks, traces } = content;
  const checksum = crc32(JSON.stringify([head, rig, rigLimits, pointWords, checks, traces]));
  return crc32(content.samples, crc32(content.readings, crc32(content.points, checksum)));
}
