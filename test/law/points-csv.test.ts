import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { POINTS_COLUMNS, readPointsCsv, writePointsCsv } from '../../src/law/csv.ts';
import { MAX_FILE_SIZE } from '../../src/law/file-text.ts';
import { readLawJson } from '../../src/law/json.ts';
import { plainLaw } from './published-laws.ts';
import { refusal } from './refusal.ts';

const header = POINTS_COLUMNS.join(',');
const soundCsv = writePointsCsv(plainLaw());
const csvProblems = (source: string | Uint8Array) => refusal(() => readPointsCsv(source));
/** A points file with these rows below the header (line 2 onward). */
const rows = (...lines: readonly string[]) => `${[header, ...lines].join('\n')}\n`;

describe('a points file is refused by line, with advice', () => {
  const bad: readonly (readonly [string, string, number | null, RegExp])[] = [
    ['semicolons', soundCsv.replaceAll(',', ';'), 1, /semicolons/],
    ['tabs', soundCsv.replaceAll(',', '\t'), 1, /tabs/],
    ['decimal comma in quotes', rows('6,60,3,any,,', '20,"40,5",2,2,,'), 3, /decimal comma.*40\.5/],
    ['decimal comma without quotes', rows('6,60,3,any,,', '20,40,5,2,2,,'), 3, /7 cells.*decimal point/],
    ['a cell too few', rows('6,60,3,any,,', '20,40,2,2,'), 3, /5 cells, the header has 6/],
    ['missing number', rows('6,60,3,any,,', '20,,2,2,,'), 3, /loss_db is empty/],
    ['one-sided not said', rows('6,60,3,,,', '20,40,2,2,,'), 2, /plus_db is empty.*"any"/],
    ['NaN', rows('6,NaN,3,any,,', '20,40,2,2,,'), 2, /"NaN" is not a number/],
    ['Infinity', rows('6,Infinity,3,any,,', '20,40,2,2,,'), 2, /"Infinity" is not a number/],
    ['hexadecimal', rows('0x6,60,3,any,,', '20,40,2,2,,'), 2, /"0x6" is not a number/],
    ['a number beyond numbers', rows('6,1e999,3,any,,', '20,40,2,2,,'), 2, /too large/],
    ['an exponent without end', rows(`6,1e${'9'.repeat(50)},3,any,,`, '20,40,2,2,,'), 2, /not a number/],
    ['thousands mark', rows('6,60,3,any,,', '20,1 000,2,2,,'), 3, /not a number/],
    ['typographic minus', rows('6,60,3,any,,', '20,\u221240,2,2,,'), 3, /typographic minus/],
    ['a unit in the cell', rows('6,60 dB,3,any,,', '20,40,2,2,,'), 2, /"60 dB" is not a number/],
    ['quote left open', rows('6,60,3,any,,"off', '20,40,2,2,,'), 2, /quotes do not match/],
    ['quote in the middle', rows('6,60,3,any,,', '20,40,2,2,,o"ff'), 3, /quotes do not match/],
    ['empty cells only', rows('6,60,3,any,,', ',,,,,', '20,40,2,2,,'), 3, /only empty cells/],
    ['rows out of order', rows('20,40,2,2,,', '6,30,3,1,,'), 3, /Order the points/],
    ['loss rising', rows('6,60,3,any,,', '20,61,2,2,,'), 3, /never rise/],
    ['marks at one place', rows('6,60,3,any,,a', '6,,,,,b', '20,40,2,2,,'), 3, /mark before/],
    ['one point only', rows('6,60,3,any,,'), null, /at least 2 points/],
    ['no header', '6,60,3,any,,\n20,40,2,2,,\n', 1, /column "60" is unknown/],
    ['a missing column', soundCsv.replace('plus_db', 'plus'), 1, /plus_db is missing/],
    ['a column twice', `${header},loss_db\n`, 1, /loss_db stands twice/],
    ['a column that reaches into the program', `${header},__proto__\n`, 1, /"__proto__" is unknown/],
    ['nothing', '', null, /empty/],
    ['blank lines only', '\n\r\n  \n', null, /empty/],
    ['a byte order mark in the middle', rows('6,60,3,any,,', '\uFEFF20,40,2,2,,'), 3, /byte order mark/],
    ['bare carriage returns', soundCsv.replaceAll('\n', '\r'), 1, /bare carriage return/],
    ['a NUL byte', rows('6,60,3,any,,', '20,4\u00000,2,2,,'), 3, /binary data/],
    ['a control character', rows('6,60,3,any,,\u0007'), 2, /U\+0007/],
    ['damaged characters', rows('6,60,3,any,,\uFFFD'), 2, /damaged/],
    ['too big', `${header}\n${' '.repeat(MAX_FILE_SIZE)}`, null, /right file/],
    ['too many rows', rows(...Array.from({ length: 2300 }, () => '1,1,1,1,,')), null, /2300 rows/],
    ['an endless line', rows('6,60,3,any,,', 'x'.repeat(20_000)), 3, /10000 characters/],
  ];

  test.each(bad)('%s', (_name, text, line, advice) => {
    for (const source of [text, new TextEncoder().encode(text)]) {
      const problems = csvProblems(source);
      expect(
        problems.some((p) => p.line === line && advice.test(p.message)),
        JSON.stringify(problems),
      ).toBe(true);
    }
  });

  test('the line is right behind CRLF and blank lines', () => {
    const text = `${header}\r\n\r\n6,60,3,any,,\r\n\r\n20,forty,2,2,,\r\n`;
    expect(csvProblems(text).map((p) => p.line)).toEqual([5]);
  });

  test('every bad row is reported at once, in order of lines', () => {
    const text = rows('6,60,3,,,', '20,40,0,2,,', '30,"x,2,2,,', '40,10,1,1,,=x', '39,9,1,1,,');
    expect(csvProblems(text).map((p) => p.line)).toEqual([2, 3, 4, 5, 6]);
  });

  test('a wrong row does not raise false alarms about the others', () => {
    expect(csvProblems(rows('6,60,3,any,,', '20,oops,2,2,,'))).toHaveLength(1);
    expect(csvProblems(rows('6,60,3,any,,', '20,40'))).toHaveLength(1);
  });
});

describe('bytes that are no UTF-8 text', () => {
  test('UTF-16 is named', () => {
    for (const order of [
      [0xff, 0xfe],
      [0xfe, 0xff],
    ]) {
      expect(csvProblems(Uint8Array.from([...order, 0x61, 0]))).toEqual([
        { line: 1, message: expect.stringMatching(/UTF-16/) },
      ]);
    }
  });

  test('the lines with broken bytes are named', () => {
    const bytes = new TextEncoder().encode(rows('6,60,3,any,,', '20,40,2,2,,'));
    const broken = Uint8Array.from([...bytes, 0x34, 0xc3, 0x28, 0x0a, 0x35, 0x0a, 0x80]);
    expect(csvProblems(broken).map((p) => p.line)).toEqual([4, 6]);
  });

  test('any bytes are refused or read, nothing else happens', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 400 }), (bytes) => {
        for (const read of [readLawJson, readPointsCsv]) expect(refusal(() => read(bytes)).length).toBeGreaterThan(0);
      }),
    );
  });
});
