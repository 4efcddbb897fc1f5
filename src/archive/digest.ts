import { hash } from 'node:crypto';
import type { Cell } from './cells.ts';

/** Everything of a run as it lies in the database, in the order of the field maps. */
export interface RunContent {
  readonly head: readonly Cell[];
  readonly rig: readonly Cell[];
  /** Canonical JSON of the rig's limits. */
  readonly rigLimits: string | null;
  /** Bytes as `packedReadings` makes them. */
  readonly readings: Uint8Array;
  /** Texts as `columnText` makes them. */
  readonly points: string;
  readonly checks: string;
  readonly traces: readonly (readonly Cell[])[];
  /** Four packed columns per trace. */
  readonly traceColumns: readonly Uint8Array[];
}

/**
 * SHA-256 over a run, so that a full check finds a value that changed on the disk or by another tool's hand.
 * It guards against accident, not against someone who recomputes it.
 */
export function runDigest(content: RunContent): Buffer {
  const { head, rig, rigLimits, readings, points, checks, traces } = content;
  const text = `${JSON.stringify([head, rig, rigLimits, traces])}\n${points}\n${checks}\n`;
  return hash('sha256', Buffer.concat([Buffer.from(text), readings, ...content.traceColumns]), 'buffer');
}
