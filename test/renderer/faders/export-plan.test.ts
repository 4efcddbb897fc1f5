import { expect, test } from 'vitest';
import {
  bytesText,
  type ExportScope,
  exportKinds,
  fileNameFor,
  reportKind,
  scopeQuery,
} from '../../../renderer/screens/faders/export-plan.ts';
import { sampleBatch } from '../../report/sample-runs.ts';

const kind = (what: string) => {
  const found = exportKinds.find((each) => each.what === what);
  if (found === undefined) throw new RangeError(what);
  return found;
};
const runs = sampleBatch({ size: 3, seed: 1 });
const [run] = runs;
if (run === undefined) throw new RangeError('no run');
const one: ExportScope = { kind: 'run', run };
const found: ExportScope = { kind: 'found', query: { batch: 'TFW-26-48', verdict: 'fail' }, total: 12 };

test('what was found is written by the same query', () => {
  expect(scopeQuery(found)).toEqual({ batch: 'TFW-26-48', verdict: 'fail' });
});

test('one run is asked for by its serial and the instant it began, so that no other run of it comes along', () => {
  const { serialPart, from, to } = scopeQuery(one);
  expect(serialPart).toBe(run.serial);
  const inside = (startedAt: string): boolean => startedAt >= (from ?? '') && startedAt < (to ?? '');
  expect(runs.filter((each) => inside(new Date(each.startedAt).toISOString()))).toEqual([run]);
});

test('files are named after what is in them', () => {
  expect(fileNameFor(kind('points'), one, null)).toBe('PF104-26-48-00001-points.csv');
  expect(fileNameFor(kind('json'), one, null)).toBe('PF104-26-48-00001-records.json');
  expect(fileNameFor(kind('runs'), found, 'TFW-26-48')).toBe('TFW-26-48-fail-runs.csv');
  expect(fileNameFor(reportKind, found, 'TFW 26/48')).toBe('TFW-26-48-report.html');
  expect(fileNameFor(kind('checks'), { kind: 'found', query: {}, total: 3 }, null)).toBe('faders-checks.csv');
});

test('no name can lead out of the folder', () => {
  const name = fileNameFor(kind('runs'), { kind: 'found', query: { batch: '../../x\\y:z' }, total: 1 }, null);
  expect(name).not.toMatch(/[/\\:]/);
});

test('sizes are told in the unit that fits', () => {
  expect([bytesText(812), bytesText(14_400), bytesText(1_432_118)]).toEqual(['812 bytes', '14 kB', '1.4 MB']);
});
