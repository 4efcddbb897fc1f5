import { describe, expect, test } from 'vitest';
import { buildLaw } from '../../src/law/build.ts';
import type { LawData, LawPoint } from '../../src/law/law.ts';
import { LawInvalidError, type LawProblem } from '../../src/law/problems.ts';
import { plainLaw } from './published-laws.ts';

function problemsOf(data: unknown): readonly LawProblem[] {
  try {
    buildLaw(data);
  } catch (error) {
    if (error instanceof LawInvalidError) return error.problems;
    throw error;
  }
  return [];
}

function withPoint(row: number, change: Partial<Record<keyof LawPoint, unknown>>): unknown {
  const law = plainLaw();
  return { ...law, points: law.points.map((point, index) => (index === row - 1 ? { ...point, ...change } : point)) };
}

function stepped(points: readonly (readonly [number, number])[]): unknown {
  return {
    ...plainLaw(),
    interpolation: 'stepped',
    points: points.map(([travelMm, lossDb]) => ({ travelMm, lossDb, minusDb: 0.5, plusDb: 0.5 })),
  };
}

describe('a sound law', () => {
  test('is built unchanged, frozen to the last point', () => {
    const law = buildLaw(plainLaw());
    expect(law).toEqual(plainLaw());
    expect(Object.isFrozen(law)).toBe(true);
    expect(
      [law.points, ...law.points, law.marks, ...law.marks, law.resistance, law.limits].every(Object.isFrozen),
    ).toBe(true);
  });

  test('is a copy: changing the source afterwards changes nothing', () => {
    const source = structuredClone(plainLaw());
    const law = buildLaw(source);
    Object.assign(source.points[0] ?? {}, { lossDb: 1 });
    expect(source.points[0]?.lossDb).toBe(1);
    expect(law.points[0]?.lossDb).toBe(60);
  });

  test('may stay level over a stretch', () => {
    expect(problemsOf(withPoint(2, { lossDb: 10 }))).toEqual([]);
  });

  test('negative zero becomes zero, so that writing and reading give the same law', () => {
    const law = buildLaw(withPoint(4, { lossDb: -0 }));
    expect(Object.is(law.points[3]?.lossDb, 0)).toBe(true);
  });
});

/** What is bent, which row and field must be named, and a word of the advice. */
const bentPoints: readonly (readonly [string, number, Partial<Record<keyof LawPoint, unknown>>, string, RegExp])[] = [
  ['travel below zero', 1, { travelMm: -1 }, 'points.travelMm', /below 0/],
  ['travel beyond the fader', 4, { travelMm: 61 }, 'points.travelMm', /beyond the nominal travel of 60 mm/],
  ['travel going back', 3, { travelMm: 15 }, 'points.travelMm', /Order the points/],
  ['travel standing twice', 3, { travelMm: 20 }, 'points.travelMm', /Remove one/],
  ['points closer than a carriage can tell', 3, { travelMm: 20.001 }, 'points.travelMm', /at least 0.005 mm/],
  ['travel missing', 3, { travelMm: undefined }, 'points.travelMm', /missing/],
  ['travel not a number', 3, { travelMm: Number.NaN }, 'points.travelMm', /not a finite number/],
  ['loss rising', 2, { lossDb: 61 }, 'points.lossDb', /never rise/],
  ['negative loss', 4, { lossDb: -3 }, 'points.lossDb', /negative/],
  ['loss beyond measuring', 1, { lossDb: 251 }, 'points.lossDb', /above 250 dB/],
  ['loss missing', 2, { lossDb: undefined }, 'points.lossDb', /missing/],
  ['loss null', 2, { lossDb: null }, 'points.lossDb', /must be a number/],
  ['infinite loss', 1, { lossDb: Number.POSITIVE_INFINITY }, 'points.lossDb', /not a finite number/],
  ['loss as text', 2, { lossDb: '40' }, 'points.lossDb', /must be a number/],
  ['zero tolerance', 2, { minusDb: 0 }, 'points.minusDb', /no room/],
  ['signed tolerance', 2, { minusDb: -2 }, 'points.minusDb', /without a sign/],
  ['absurd tolerance', 2, { plusDb: 41 }, 'points.plusDb', /above 40 dB/],
  ['minus tolerance missing', 2, { minusDb: undefined }, 'points.minusDb', /missing/],
  ['minus tolerance open', 2, { minusDb: null }, 'points.minusDb', /must be a number/],
  ['plus tolerance missing (one-sided must be said)', 2, { plusDb: undefined }, 'points.plusDb', /missing/],
  ['one-sided point above a two-sided one', 3, { plusDb: null }, 'points.plusDb', /one-sided/],
  ['negative travel tolerance', 3, { travelTolMm: -0.1 }, 'points.travelTolMm', /without a sign/],
  ['travel tolerance above a tenth of the travel', 3, { travelTolMm: 7 }, 'points.travelTolMm', /tenth/],
];

describe('a point is refused by row and field, with advice', () => {
  test.each(bentPoints)('%s (row %i)', (_name, row, change, field, advice) => {
    const problems = problemsOf(withPoint(row, change));
    const hit = problems.find((p) => p.row === row && p.field === field);
    expect(hit, JSON.stringify(problems)).toBeDefined();
    expect(hit?.message).toMatch(advice);
    expect(hit?.message).toMatch(new RegExp(`^Point ${row}\\b`));
    expect(hit?.path).toEqual(['points', row - 1, field.slice('points.'.length)]);
  });
});

const bentLaws: readonly (readonly [string, Partial<Record<keyof LawData, unknown>>, string, RegExp])[] = [
  ['id with a space', { id: 'PF 104' }, 'id', /Rename/],
  ['id missing', { id: undefined }, 'id', /missing/],
  ['revision zero', { revision: 0 }, 'revision', /whole number/],
  ['revision with a fraction', { revision: 1.5 }, 'revision', /whole number/],
  ['empty title', { title: ' ' }, 'title', /empty/],
  ['title with a direction override', { title: 'a\u202Eb' }, 'title', /invisible/],
  ['title with half a character', { title: 'a\uD800' }, 'title', /broken/],
  ['travel in metres', { travelMm: 0.06 }, 'travelMm', /in mm/],
  ['no points', { points: [] }, 'points', /at least 2/],
  ['points that are no list', { points: {} }, 'points', /list of points/],
  ['closed limit of zero', { closedMinLossDb: 0 }, 'closedMinLossDb', /above 0/],
  ['closed limit weaker than the lowest point', { closedMinLossDb: 50 }, 'closedMinLossDb', /weaker than point 1/],
  ['open limit negative', { openMaxLossDb: -1 }, 'openMaxLossDb', /negative/],
  ['open limit weaker than the last point', { openMaxLossDb: 3 }, 'openMaxLossDb', /weaker than the last point/],
  ['resistance in kilo-ohm', { resistance: { nominalOhm: 1, toleranceFraction: 0.2 } }, 'resistance.nominalOhm', /ohm/],
  [
    'resistance tolerance in percent',
    { resistance: { nominalOhm: 1e4, toleranceFraction: 20 } },
    'resistance.toleranceFraction',
    /fraction/,
  ],
  [
    'resistance tolerance missing',
    { resistance: { nominalOhm: 1e4 } },
    'resistance.toleranceFraction',
    /toleranceFraction is missing/,
  ],
  ['short circuit as load', { loadOhm: 0 }, 'loadOhm', /null for an unloaded law/],
  ['load missing', { loadOhm: undefined }, 'loadOhm', /missing/],
  ['unknown interpolation', { interpolation: 'cubic' }, 'interpolation', /dbLinear/],
  ['play limit of zero', { limits: { maxPlayMm: 0 } }, 'limits.maxPlayMm', /play limit/],
  ['unknown limit', { limits: { maxNoise: 1 } }, 'limits.maxNoise', /unknown field "maxNoise"/],
];

describe('a law is refused by field, with advice', () => {
  test.each(bentLaws)('%s', (_name, change, field, advice) => {
    const problems = problemsOf({ ...plainLaw(), ...change });
    const hit = problems.find((p) => p.field === field);
    expect(hit, JSON.stringify(problems)).toBeDefined();
    expect(hit?.message).toMatch(advice);
    expect(hit?.row).toBeNull();
  });

  test('every point the same loss', () => {
    const law = plainLaw();
    const points = law.points.map((p) => ({ ...p, lossDb: 20 }));
    expect(problemsOf({ ...law, points }).map((p) => p.field)).toContain('points');
  });

  test.each([null, undefined, 7, 'law', [], () => 1])('%s is no law', (data) => {
    expect(problemsOf(data).length).toBeGreaterThan(0);
  });

  test('names that would reach into the program are plain unknown fields', () => {
    const text = JSON.stringify(plainLaw()).replace('{', '{"__proto__":{"travelMm":1},"constructor":1,');
    const messages = problemsOf(JSON.parse(text)).map((p) => p.message);
    expect(messages.filter((m) => m.includes('unknown field'))).toHaveLength(2);
    expect(Object.hasOwn(Object.prototype, 'travelMm')).toBe(false);
  });
});

describe('marks', () => {
  const marked = (marks: unknown) => problemsOf({ ...plainLaw(), marks });

  test.each([
    ['outside the travel', [{ travelMm: 60.5, text: '+10' }], 1, 'marks.travelMm'],
    ['below the closed end', [{ travelMm: -1, text: 'off' }], 1, 'marks.travelMm'],
    [
      'not in order',
      [
        { travelMm: 40, text: '0' },
        { travelMm: 20, text: '-10' },
      ],
      2,
      'marks.travelMm',
    ],
    [
      'two at one place',
      [
        { travelMm: 40, text: '0' },
        { travelMm: 40, text: '-0' },
      ],
      2,
      'marks.travelMm',
    ],
    ['without text', [{ travelMm: 40, text: '' }], 1, 'marks.text'],
    ['text missing', [{ travelMm: 40 }], 1, 'marks.text'],
    ['text a spreadsheet would run', [{ travelMm: 40, text: '=1+1' }], 1, 'marks.text'],
    ['text too long', [{ travelMm: 40, text: 'x'.repeat(13) }], 1, 'marks.text'],
  ])('%s', (_name, marks, row, field) => {
    const hit = marked(marks).find((p) => p.row === row && p.field === field);
    expect(hit?.message).toMatch(new RegExp(`^Mark ${row}\\b`));
  });

  test('none at all is fine', () => {
    expect(marked([])).toEqual([]);
  });
});

describe('a stepped law', () => {
  test('needs a real step at every contact', () => {
    const problems = problemsOf(
      stepped([
        [10, 62],
        [12, 40],
        [14, 40],
      ]),
    );
    expect(problems.map((p) => [p.row, p.field])).toEqual([[3, 'points.lossDb']]);
    expect(problems[0]?.message).toMatch(/Every contact is a step/);
  });
});

describe('all problems at once', () => {
  test('a wrong type in one row does not hide a wrong value in another', () => {
    const law = plainLaw();
    const points = law.points.map((p, i) => (i === 0 ? { ...p, lossDb: 'sixty' } : i === 2 ? { ...p, plusDb: -1 } : p));
    const problems = problemsOf({ ...law, points, revision: 0, colour: 'red' });
    expect(problems.map((p) => [p.row, p.field]).sort()).toEqual(
      [
        [1, 'points.lossDb'],
        [3, 'points.plusDb'],
        [null, 'colour'],
        [null, 'revision'],
      ].sort(),
    );
  });

  test('the error has a code, is for the user to mend, and says everything in its message', () => {
    const error = (() => {
      try {
        return buildLaw({ ...plainLaw(), revision: 0, title: '' });
      } catch (caught) {
        return caught;
      }
    })();
    if (!(error instanceof LawInvalidError)) throw new Error('not refused');
    expect([error.code, error.userFixable, error.name]).toEqual(['law.invalid', true, 'LawInvalidError']);
    for (const problem of error.problems) expect(error.message).toContain(problem.message);
    expect(error.message).toContain('TEST-60');
  });

  test('a list far too long is refused as one problem', () => {
    const problems = problemsOf({ ...plainLaw(), points: Array.from({ length: 100_000 }, () => 0) });
    expect(problems).toHaveLength(1);
    expect(problems[0]?.message).toMatch(/at most 2000/);
  });
});
