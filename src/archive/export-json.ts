import { ArchiveDefectError } from './errors.ts';
import type { RunFilter, RunFinder } from './find-runs.ts';
import type { LawStore, StoredCalibration, StoredLaw } from './law-store.ts';
import type { RunReader } from './read-run.ts';
import type { RunRecord, TraceRecord } from './records.ts';

/** Says what a line is, and in which form, to whoever finds the file years later. */
const exportFormat = 'faderwright-run';
const exportFormatVersion = 1;

/** One run with everything needed to recompute it. */
export interface ExportedRun {
  readonly run: RunRecord;
  readonly law: StoredLaw;
  readonly calibration: StoredCalibration | null;
}

/**
 * One line of JSON per run (UTF-8, each line stands alone and ends with a line feed), oldest run first; trace columns
 * are arrays of numbers.
 */
export async function* exportJson(
  finder: RunFinder,
  reader: RunReader,
  laws: LawStore,
  filter: RunFilter,
): AsyncGenerator<string, void, undefined> {
  for (const page of finder.pages(filter, 20)) {
    for (const { runId } of page) {
      const run = reader.read(runId);
      if (run === null) throw new ArchiveDefectError(`Run ${runId} vanished while being exported.`);
      yield `${JSON.stringify(exportedRun(run, laws))}\n`;
    }
    await new Promise((done) => setImmediate(done));
  }
}

function exportedRun(run: RunRecord, laws: LawStore) {
  const law = laws.law(run.lawId, run.lawRevision);
  if (law === null) throw new ArchiveDefectError(`Run ${run.runId} refers to a law that is missing.`);
  const calibration = run.calibrationId === null ? null : laws.calibration(run.calibrationId);
  const traces = run.traces.map((trace) => ({
    ...trace,
    counter: Array.from(trace.counter),
    positionUm: Array.from(trace.positionUm),
    rigClockUs: Array.from(trace.rigClockUs),
    wiperCounts: Array.from(trace.wiperCounts),
  }));
  return { format: exportFormat, formatVersion: exportFormatVersion, run: { ...run, traces }, law, calibration };
}

/**
 * A line written by `exportJson`, as records again.
 * @throws SyntaxError for broken JSON, ArchiveDefectError for another format. The content of the run is not judged.
 */
export function readExportedRun(line: string): ExportedRun {
  const parsed = JSON.parse(line) as ExportedRun & { format?: unknown; formatVersion?: unknown };
  if (parsed.format !== exportFormat || parsed.formatVersion !== exportFormatVersion) {
    throw new ArchiveDefectError(
      `Not an exported run of form ${exportFormatVersion}: format ${String(parsed.format)}, form ${String(parsed.formatVersion)}.`,
    );
  }
  const { run, law, calibration } = parsed;
  return { run: { ...run, traces: run.traces.map(traceOfLists) }, law, calibration };
}

function traceOfLists(trace: TraceRecord): TraceRecord {
  return {
    ...trace,
    counter: Uint32Array.from(trace.counter),
    positionUm: Int32Array.from(trace.positionUm),
    rigClockUs: Float64Array.from(trace.rigClockUs),
    wiperCounts: Int32Array.from(trace.wiperCounts),
  };
}
