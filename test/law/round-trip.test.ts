import { readFileSync } from 'node:fs';
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { buildLaw } from '../../src/law/build.ts';
import { readPointsCsv, writePointsCsv } from '../../src/law/csv.ts';
import { exampleLaw, exampleLaws } from '../../src/law/examples.ts';
import { readLawJson, writeLawJson } from '../../src/law/json.ts';
import { readLawFile } from '../../src/law/law-file.ts';
import { LawFileError } from '../../src/law/problems.ts';
import { plainLaw } from './published-laws.ts';
import { randomLaw } from './random-laws.ts';

const soundJson = writeLawJson(buildLaw(plainLaw()));

describe('round trip', () => {
  test('a whole law comes back exactly, and so does its text', () => {
    fc.assert(
      fc.property(fc.oneof(randomLaw(), randomLaw('stepped')), (law) => {
        const text = writeLawJson(law);
        const back = readLawJson(new TextEncoder().encode(text));
        expect(back).toStrictEqual(law);
        expect(writeLawJson(back)).toBe(text);
      }),
    );
  });

  test('points and marks come back exactly, and so does their text', () => {
    fc.assert(
      fc.property(randomLaw(), (law) => {
        const text = writePointsCsv(law);
        const back = readPointsCsv(new TextEncoder().encode(text));
        expect(buildLaw({ ...law, ...back })).toStrictEqual(law);
        expect(writePointsCsv(back)).toBe(text);
      }),
    );
  });

  test.each(exampleLaws().map((law) => [law.id, law] as const))(
    'the shipped file of %s is written as it was read',
    (id, law) => {
      const text = readFileSync(new URL(`../../src/law/examples/${id}.json`, import.meta.url), 'utf8');
      expect(readLawJson(text)).toStrictEqual(law);
      expect(writeLawJson(law)).toBe(text);
      expect(buildLaw({ ...law, ...readPointsCsv(writePointsCsv(law)) })).toStrictEqual(law);
    },
  );

  test('what a spreadsheet does to a file (byte order mark, CRLF, blank line, spaces, order of columns) is harmless', () => {
    const lines = [
      'mark,loss_db,travel_mm,plus_db,minus_db,travel_tol_mm',
      '',
      ' off , 60.0 , 6 , any , 3,',
      '"0",10,40,"0.5",1e0,0.2',
    ];
    expect(readPointsCsv(`\uFEFF${lines.join('\r\n')}\r\n`)).toEqual({
      points: [
        { travelMm: 6, lossDb: 60, minusDb: 3, plusDb: null },
        { travelMm: 40, lossDb: 10, minusDb: 1, plusDb: 0.5, travelTolMm: 0.2 },
      ],
      marks: [
        { travelMm: 6, text: 'off' },
        { travelMm: 40, text: '0' },
      ],
    });
    expect(readLawJson(`\uFEFF${soundJson.replaceAll('\n', '\r\n')}`)).toEqual(plainLaw());
  });
});

describe('shipped laws', () => {
  test('are found by id, and only those', () => {
    expect(exampleLaws().map((law) => `${law.id} rev ${law.revision}`)).toEqual([
      'PF-104 rev 1',
      'GF-60 rev 1',
      'AT-60 rev 1',
      'QS-54 rev 1',
    ]);
    expect(exampleLaw('GF-60').travelMm).toBe(60);
    expect(() => exampleLaw('PF-105')).toThrow(/PF-104, GF-60/);
  });
});

describe('a file is read by the ending of its name', () => {
  test('.json holds a whole law, .csv points and marks, in any case', () => {
    expect(readLawFile('/tmp/a.b/Law.JSON', soundJson)).toEqual({ kind: 'law', law: plainLaw() });
    const { points, marks } = plainLaw();
    expect(readLawFile('points.csv', writePointsCsv(plainLaw()))).toEqual({ kind: 'points', points, marks });
  });

  test('any other ending is refused', () => {
    expect(() => readLawFile('law.txt', soundJson)).toThrow(LawFileError);
  });
});
