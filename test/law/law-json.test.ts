import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { buildLaw } from '../../src/law/build.ts';
import { lawFromFileContent, readLawJson, writeLawJson } from '../../src/law/json.ts';
import { LawFileError, LawInvalidError } from '../../src/law/problems.ts';
import { plainLaw } from './published-laws.ts';
import { refusal } from './refusal.ts';

const soundJson = writeLawJson(buildLaw(plainLaw()));
const jsonProblems = (source: string | Uint8Array) => refusal(() => readLawJson(source));
/** Number of the line of the sound law file that holds a text. */
const lineWith = (text: string) => soundJson.split('\n').findIndex((line) => line.includes(text)) + 1;

describe('a law file is refused by line, with advice', () => {
  const bend = (from: string | RegExp, to: string) => soundJson.replace(from, to);
  const deep = (n: number) => bend('"title":', `"x": ${'['.repeat(n)}1${']'.repeat(n)},\n  "title":`);
  const bad: readonly (readonly [string, string, number, RegExp])[] = [
    ['another format', bend('faderwright-law', 'something-else'), 2, /right file/],
    ['no format', bend('"format": "faderwright-law",', ''), 1, /"format" is missing/],
    ['a newer version', bend('"version": 1', '"version": 2'), 3, /version 2.*newer program/],
    ['no version', bend('"version": 1,', ''), 1, /"version": 1/],
    [
      'an unknown field',
      bend('"title":', '"colour": "red",\n  "title":'),
      lineWith('"title"'),
      /unknown field "colour"/,
    ],
    [
      'a field twice',
      bend('"title":', '"title": "First",\n  "title":'),
      lineWith('"title"') + 1,
      /"title" stands twice/,
    ],
    [
      'a field twice, spelt with an escape',
      bend('"title":', '"t\\u0069tle": "x",\n  "title":'),
      lineWith('"title"') + 1,
      /twice/,
    ],
    ['__proto__', bend('"title":', '"__proto__": {"travelMm": 5},\n  "title":'), lineWith('"title"'), /"__proto__"/],
    [
      '__proto__ in a point',
      bend('"lossDb": 40', '"lossDb": 40, "__proto__": {}'),
      lineWith('40, "min'),
      /"__proto__"/,
    ],
    ['a number too large', bend('"lossDb": 40', '"lossDb": 1e999'), lineWith('40, "min'), /too large/],
    ['NaN', bend('"lossDb": 40', '"lossDb": NaN'), lineWith('40, "min'), /unexpected "NaN"/],
    ['Infinity', bend('"lossDb": 40', '"lossDb": Infinity'), lineWith('40, "min'), /unexpected "Infinity"/],
    ['hexadecimal', bend('"lossDb": 40', '"lossDb": 0x28'), lineWith('40, "min'), /not JSON/],
    ['decimal comma', bend('"lossDb": 40', '"lossDb": 40,5'), lineWith('40, "min'), /not JSON/],
    ['a comma too many', bend('"plusDb": 0.5, "travelTolMm": 0.2 }', '"plusDb": 0.5, }'), lineWith('0.2'), /not JSON/],
    ['a comment', bend('"title"', '// comment\n  "title"'), lineWith('"title"'), /not JSON/],
    ['single quotes', bend('"TEST-60"', "'TEST-60'"), lineWith('TEST-60'), /unexpected "'"/],
    ['a quote left open', bend('"TEST-60",', '"TEST-60,'), lineWith('TEST-60'), /not closed on its line/],
    ['a tab in a text', bend('Law of a test', 'Law\tof a test'), lineWith('"title"'), /tab/],
    ['cut off', soundJson.slice(0, soundJson.indexOf('"marks"')), lineWith('"marks"'), /ends too early/],
    ['something behind the end', `${soundJson}x`, soundJson.split('\n').length, /unexpected "x"/],
    ['nested deeply', deep(100_000), lineWith('"title"'), /nested/],
    ['a point missing a number', bend('"lossDb": 40, ', ''), lineWith('40, "min'), /Point 2.*lossDb is missing/],
    ['a point out of order', bend('"travelMm": 20', '"travelMm": 50'), lineWith('"travelMm": 40, "loss'), /goes back/],
    ['a zero tolerance', bend('"minusDb": 1', '"minusDb": 0'), lineWith('"minusDb": 1'), /no room/],
    [
      'a mark outside',
      bend('"travelMm": 40, "text"', '"travelMm": 400, "text"'),
      lineWith('"travelMm": 40, "text"'),
      /Mark 2/,
    ],
    ['a field missing', bend(/ {2}"loadOhm": null,\n/, ''), 1, /loadOhm is missing/],
    ['a list', '[]\n', 1, /one JSON object/],
    ['a lone text', '"faderwright-law"', 1, /one JSON object/],
    ['null', 'null', 1, /one JSON object/],
    ['half a character', bend('Law of a test', 'Law \\ud800'), lineWith('"title"'), /broken characters/],
  ];

  test.each(bad)('%s', (_name, text, line, advice) => {
    const problems = jsonProblems(text);
    expect(
      problems.some((p) => p.line === line && advice.test(p.message)),
      JSON.stringify(problems),
    ).toBe(true);
  });

  test('all problems at once, in order of lines', () => {
    const text = bend('"lossDb": 40', '"lossDb": "x"').replace('"revision": 1', '"revision": 0').replace('"off"', '""');
    expect(jsonProblems(text).map((p) => p.line)).toEqual([
      lineWith('"revision"'),
      lineWith('40, "min'),
      lineWith('"off"'),
    ]);
  });

  test('a file full of nonsense is cut off after 200 problems, and says so', () => {
    const twice = '"a":1,'.repeat(50_000);
    const problems = jsonProblems(soundJson.replace('"title":', `${twice}"title":`));
    expect(problems).toHaveLength(201);
    expect(problems.at(-1)?.message).toMatch(/more problems/);
  });

  test('whatever is accepted is JSON of the same content for everybody else', () => {
    const places = fc.nat({ max: soundJson.length - 1 });
    const scraps = fc.constantFrom(
      '',
      '0',
      '"',
      ',',
      '{',
      '}',
      '[',
      ']',
      '\t',
      '\n',
      '-',
      '.',
      'e5',
      ' ',
      '\\',
      '\u00a0',
      'null',
      '_',
    );
    fc.assert(
      fc.property(places, scraps, fc.nat({ max: 3 }), (place, scrap, cut) => {
        const text = soundJson.slice(0, place) + scrap + soundJson.slice(place + cut);
        let law: unknown;
        try {
          law = readLawJson(text);
        } catch (error) {
          if (error instanceof LawFileError) return;
          throw error;
        }
        expect(lawFromFileContent(JSON.parse(text))).toEqual(law);
      }),
      { numRuns: 2000 },
    );
  });

  test('the error has a code, is for the user to mend, and names lines in its message', () => {
    try {
      readLawJson(bend('"revision": 1', '"revision": 0'));
      throw new Error('not refused');
    } catch (error) {
      if (!(error instanceof LawFileError)) throw error;
      expect([error.code, error.userFixable]).toEqual(['law.file', true]);
      expect(error.message).toContain(`Line ${lineWith('"revision"')}: The revision 0`);
    }
  });
});

describe('content of a law file parsed elsewhere', () => {
  test('is a law like the file', () => {
    expect(lawFromFileContent(JSON.parse(soundJson))).toEqual(plainLaw());
  });

  test('without format or version is refused', () => {
    expect(() => lawFromFileContent(plainLaw())).toThrow(LawInvalidError);
    expect(() => lawFromFileContent(null)).toThrow(LawInvalidError);
  });
});
