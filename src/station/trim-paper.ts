/** The report on a trimming batch as a file. */
import type { Archive } from '../archive/archive.ts';
import type { TrimmedPiece } from '../report/trim-input.ts';
import { renderTrimReport } from '../report/trim-report.ts';
import { EmptyBatchError } from './errors.ts';
import { replaceFile } from './file-output.ts';
import { findLaw } from './law-desk.ts';
import type { BatchReportOrder } from './paper.ts';
import { batchOf } from './trim-batch.ts';
import { historyOf } from './trim-history.ts';
import { trimSentence } from './trim-sentences.ts';
import { readTrimSettings } from './trim-settings.ts';

/** @throws EmptyBatchError, FileUnwritableError */
export async function writeTrimReport(
  archive: Archive,
  { batch, title, path, programVersion, madeAt }: BatchReportOrder,
): Promise<{ pieces: number }> {
  const events = archive.trimEventsOfBatch(batch);
  const last = events.at(-1);
  if (last === undefined) throw new EmptyBatchError(batch);
  const law = findLaw(archive, last.lawId, last.lawRevision);
  const { passLimit } = readTrimSettings(archive);
  const view = batchOf(batch, events);
  const bySerial = Map.groupBy(events, ({ serial }) => serial);
  const pieces = view.pieces.flatMap(({ serial, ...figures }): TrimmedPiece[] => {
    const history = historyOf(bySerial.get(serial) ?? []);
    const before = archive.run(history?.runs[0] ?? '');
    const after = archive.run(history?.runs.at(-1) ?? '');
    // Towards another law the drawing would compare what cannot be compared.
    if (history === null || before === null || after === null || before.lawId !== law.id) return [];
    const passes = history.passes.map(({ pass, toolId, plan, cutsDone, gain }) => ({
      ...{ pass, toolId, gain: gain?.achieved ?? null },
      cuts: plan.cuts.filter(({ number }) => cutsDone.includes(number)),
    }));
    const { state, firstSort, measured } = history;
    return [
      {
        ...{ ...figures, serial, state, firstSort, passes, before, rules: measured.rules },
        after: after.runId === before.runId ? before : after,
        sentence: trimSentence(history, passLimit),
      },
    ];
  });
  const { firstPassShare, medianTookMs, gains } = view;
  const gain = gains.at(-1) ?? null;
  const html = renderTrimReport({
    title,
    batch,
    law,
    pieces,
    gain,
    firstPassShare,
    medianTookMs,
    programVersion,
    madeAt,
  });
  await replaceFile(path, html);
  return { pieces: pieces.length };
}
