import { RunRefusedError } from './errors.ts';
import { packed, unpackedFloat64, unpackedInt32, unpackedUint32 } from './packed-arrays.ts';
import type { TraceRecord } from './records.ts';

export type TraceColumns = Pick<TraceRecord, 'counter' | 'positionUm' | 'rigClockUs' | 'wiperCounts'>;

/**
 * The samples of a trace as 20 bytes each, column after column: rigClockUs float64, counter uint32, positionUm int32,
 * wiperCounts int32, little-endian, bit for bit.
 * @throws RunRefusedError when the columns differ in length.
 */
export function packedTrace(trace: TraceColumns, runId: string): Buffer {
  const { counter, positionUm, rigClockUs, wiperCounts } = trace;
  const n = counter.length;
  if (positionUm.length !== n || rigClockUs.length !== n || wiperCounts.length !== n) {
    const lengths = [n, positionUm.length, rigClockUs.length, wiperCounts.length].join(', ');
    throw new RunRefusedError(runId, `the columns of a trace differ in length (${lengths})`);
  }
  return Buffer.concat([packed(rigClockUs), packed(counter), packed(positionUm), packed(wiperCounts)], n * 20);
}

export function unpackedTrace(bytes: Uint8Array): TraceColumns {
  const n = bytes.byteLength / 20;
  return {
    counter: unpackedUint32(bytes.subarray(8 * n, 12 * n)),
    positionUm: unpackedInt32(bytes.subarray(12 * n, 16 * n)),
    rigClockUs: unpackedFloat64(bytes.subarray(0, 8 * n)),
    wiperCounts: unpackedInt32(bytes.subarray(16 * n)),
  };
}
