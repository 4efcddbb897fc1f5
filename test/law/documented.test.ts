/** The examples of docs/laws.md are files the program reads. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { POINTS_COLUMNS, readPointsCsv } from '../../src/law/csv.ts';
import { readLawJson } from '../../src/law/json.ts';

const page = readFileSync(new URL('../../docs/laws.md', import.meta.url), 'utf8');

test('the points file of the page', () => {
  const start = page.indexOf(`    ${POINTS_COLUMNS.join(',')}`);
  const block = page.slice(start, page.indexOf('\n\n', start)).replaceAll(/^ {4}/gm, '');
  const { points, marks } = readPointsCsv(block);
  expect([points.length, marks.length]).toEqual([3, 4]);
  expect(points[0]).toEqual({ travelMm: 6, lossDb: 70, minusDb: 6, plusDb: null });
});

test('the law file of the page', () => {
  const block = /```json\n([\s\S]*?)```/.exec(page)?.[1];
  if (block === undefined) throw new Error('the page has no law file');
  expect(readLawJson(block)).toMatchObject({ id: 'GF-40', points: [{}, { travelTolMm: 0.1 }, {}] });
});
