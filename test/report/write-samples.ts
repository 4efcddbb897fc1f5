/** Writes sample reports into a folder, to be looked at: `node test/report/write-samples.ts FOLDER`. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { RunRecord } from '../../src/archive/records.ts';
import { exampleLaws } from '../../src/law/examples.ts';
import type { LawData } from '../../src/law/law.ts';
import { renderBatchReport } from '../../src/report/batch-report.ts';
import { verdictTable } from '../../src/report/verdict-table.ts';
import { programmeFader, steppedFader } from './sample-laws.ts';
import { sampleBatch, sampleCalibration, sampleRun } from './sample-runs.ts';

const folder = process.argv[2] ?? 'out/report-samples';
mkdirSync(folder, { recursive: true });

const write = (name: string, runs: readonly RunRecord[], law: LawData = programmeFader): void => {
  const html = renderBatchReport({
    title: 'Batch TFW-26-48',
    batch: 'TFW-26-48',
    law,
    runs,
    calibration: sampleCalibration,
    programVersion: '0.1.0',
    madeAt: '2026-11-25T09:30:00Z',
    isVirtual: false,
    notes: [],
  });
  writeFileSync(join(folder, `${name}.html`), html);
  console.log(`${name}.html  ${Math.round(html.length / 1024)} KB`);
};

const batch24 = sampleBatch({ size: 24, seed: 7, faultShare: 0.2, voidShare: 0.05, isVirtual: true });
write('batch-24', batch24);
write('batch-500', sampleBatch({ size: 500, seed: 11, faultShare: 0.08, voidShare: 0.02 }));
write('batch-0', []);
write('batch-1', [
  sampleRun(
    'PF104-26-48-00017',
    programmeFader.points.map((p) => 0.3 * p.minusDb),
  ),
]);
write('stepped', sampleBatch({ size: 12, seed: 3, law: steppedFader, faultShare: 0.1 }), steppedFader);
for (const law of exampleLaws()) {
  write(`law-${law.id}`, sampleBatch({ size: 24, seed: 5, law, faultShare: 0.15 }), law);
}
console.log(verdictTable(batch24, programmeFader, { colour: true }));
