import { ArchiveDefectError, RunRefusedError } from './errors.ts';
import type { TraceHead } from './measurement-text.ts';
import { packed, unpackedFloat64, unpackedInt32, unpackedUint32 } from './packed-arrays.ts';
import type { TraceRecord } from './records.ts';

const bytesPerSample = 20;

/** What is kept of each trace as text; the numbers themselves are packed. */
export function traceHeads(traces: readonly TraceRecord[], runId: string): TraceHead[] {
  return traces.map(({ purpose, samplePeriodUs, trackCounts, counter, positionUm, rigClockUs, wiperCounts }) => {
    const samples = counter.length;
    if (positionUm.length !== samples || rigClockUs.length !== samples || wiperCounts.length !== samples) {
      const lengths = [samples, positionUm.length, rigClockUs.length, wiperCounts.length].join(', ');
      throw new RunRefusedError(runId, `the columns of a trace differ in length (${lengths})`);
    }
    return { purpose, samplePeriodUs, trackCounts, samples };
  });
}

/**
 * The samples of all traces, one trace after the other, 20 bytes a sample, column after column: rigClockUs float64,
 * counter uint32, positionUm int32, wiperCounts int32, little-endian, bit for bit.
 */
export function packedTraces(traces: readonly TraceRecord[]): Buffer {
  return Buffer.concat(
    traces.flatMap(({ rigClockUs, counter, positionUm, wiperCounts }) => [
      packed(rigClockUs),
      packed(counter),
      packed(positionUm),
      packed(wiperCounts),
    ]),
  );
}

export function unpackedTraces(heads: readonly TraceHead[], bytes: Uint8Array): TraceRecord[] {
  let from = 0;
  const traces = heads.map(({ samples: n, ...head }) => {
    const column = (first: number, last: number): Uint8Array => bytes.subarray(from + first * n, from + last * n);
    const trace = {
      ...head,
      counter: unpackedUint32(column(8, 12)),
      positionUm: unpackedInt32(column(12, 16)),
      rigClockUs: unpackedFloat64(column(0, 8)),
      wiperCounts: unpackedInt32(column(16, bytesPerSample)),
    };
    from += bytesPerSample * n;
    return trace;
  });
  if (from !== bytes.byteLength)
    throw new ArchiveDefectError('Packed traces have another length than their heads say.');
  return traces;
}
