/** Everything that leaves the archive as a file: exports, the batch report. */
import type { Archive } from '../archive/archive.ts';
import type { CsvKind } from '../archive/export-csv.ts';
import type { RunFilter } from '../archive/find-runs.ts';
import type { RunRecord } from '../archive/records.ts';
import { renderBatchReport } from '../report/batch-report.ts';
import { nextSentence } from '../report/next-sentence.ts';
import type { Calibration } from '../trust/calibration.ts';
import { EmptyBatchError } from './errors.ts';
import { replaceFile, writeNewFile } from './file-output.ts';
import { findLaw } from './law-desk.ts';

export async function exportRuns(
  archive: Archive,
  filter: RunFilter,
  what: CsvKind | 'json',
  path: string,
): Promise<{ runs: number; bytes: number }> {
  const chunks = what === 'json' ? archive.exportJson(filter) : archive.exportCsv(filter, what);
  const bytes = await writeNewFile(path, chunks);
  return { runs: archive.countRuns(filter), bytes };
}

export interface BatchReportOrder {
  readonly batch: string;
  readonly title: string;
  readonly path: string;
  readonly programVersion: string;
  /** ISO 8601 UTC. */
  readonly madeAt: string;
}

/** @throws EmptyBatchError, FileUnwritableError */
export async function writeBatchReport(
  archive: Archive,
  { batch, title, path, programVersion, madeAt }: BatchReportOrder,
): Promise<{ runs: number; nextSentence: string }> {
  const runs = batchRuns(archive, batch);
  const last = runs.at(-1);
  if (last === undefined) throw new EmptyBatchError(batch);
  const law = findLaw(archive, last.lawId, last.lawRevision);
  const stored = last.calibrationId === null ? null : archive.calibration(last.calibrationId);
  const html = renderBatchReport({
    title,
    batch,
    law,
    runs,
    calibration: stored === null ? null : (stored.data as Calibration),
    programVersion,
    madeAt,
    isVirtual: runs.some((run) => run.rig?.isVirtual === true),
  });
  await replaceFile(path, html);
  return { runs: runs.length, nextSentence: nextSentence(runs, law) };
}

/** All runs of a batch against the law revision of its newest run, oldest first. */
function batchRuns(archive: Archive, batch: string): RunRecord[] {
  const runs: RunRecord[] = [];
  const newest = archive.findRuns({ batch, limit: 1 })[0];
  if (newest === undefined) return runs;
  const filter = { batch, lawId: newest.lawId, lawRevision: newest.lawRevision };
  let afterRunId: string | undefined;
  for (;;) {
    const page = archive.findRuns({ ...filter, limit: 500, ...(afterRunId === undefined ? {} : { afterRunId }) });
    for (const { runId } of page) {
      const run = archive.run(runId);
      if (run !== null) runs.push(run);
    }
    afterRunId = page.at(-1)?.runId;
    if (page.length < 500) return runs.reverse();
  }
}
