import { describe, expect, test } from 'vitest';
import { differences } from '../../../renderer/screens/laws/differences.ts';
import { importPlan } from '../../../renderer/screens/laws/import-plan.ts';
import { headline } from '../../../renderer/screens/laws/law-actions.ts';
import { families, isSameLaw, type KeptLaw, nextRevision } from '../../../renderer/screens/laws/law-library.ts';
import { axisFor, limitLines, lossLine, slopeLine } from '../../../renderer/screens/laws/law-lines.ts';
import { exampleLaw } from '../../../src/law/examples.ts';
import type { LawData } from '../../../src/law/law.ts';

const law = exampleLaw('PF-104');
const stepped = exampleLaw('QS-54');
const kept = (data: LawData, runs = 0): KeptLaw => ({ data, runs });
const library = [kept(law, 12), kept({ ...law, revision: 3, closedMinLossDb: 70 }), kept(exampleLaw('GF-60'))];

describe('the library', () => {
  test('lists laws by name with the newest revision first', () => {
    expect(families(library).map((family) => [family.id, family.revisions.map((each) => each.data.revision)])).toEqual([
      ['GF-60', [1]],
      ['PF-104', [3, 1]],
    ]);
  });

  test('gives the number after the greatest one, also over a hole', () => {
    expect(nextRevision(library, 'PF-104')).toBe(4);
    expect(nextRevision(library, 'QS-54')).toBe(1);
  });

  test('takes two laws for the same whatever their revision', () => {
    expect(isSameLaw(law, { ...law, revision: 9 })).toBe(true);
    expect(isSameLaw(law, { ...law, openMaxLossDb: 0.1 })).toBe(false);
  });
});

describe('a law from a file', () => {
  test('that is new comes as it is', () => {
    expect(importPlan(library, stepped)).toMatchObject({ kind: 'new', law: stepped });
  });

  test('never takes the number of a kept revision', () => {
    const changed = { ...law, openMaxLossDb: 0.1 };
    expect(importPlan(library, changed)).toMatchObject({ kind: 'next', law: { ...changed, revision: 4 } });
    expect(importPlan(library, { ...changed, revision: 2 })).toMatchObject({ kind: 'next', law: { revision: 4 } });
  });

  test('keeps its own number while that is free above all', () => {
    expect(importPlan(library, { ...law, openMaxLossDb: 0.1, revision: 6 })).toMatchObject({ law: { revision: 6 } });
  });

  test('that says what a kept revision says adds nothing, whatever its number', () => {
    expect(importPlan(library, { ...law, revision: 8 })).toMatchObject({ kind: 'same', law });
  });
});

describe('two revisions compared', () => {
  test('that are the same differ in nothing', () => {
    expect(differences(law, { ...law, revision: 2 })).toEqual([]);
  });

  test('differ field by field and point by point', () => {
    const points = law.points.map((point) =>
      point.travelMm === 54 ? { ...point, lossDb: 20.25, plusDb: 0.6, travelTolMm: 0.1 } : point,
    );
    expect(differences(law, { ...law, points, closedMinLossDb: 70, limits: {} })).toEqual([
      { what: 'Closed loss, at least', first: '66 dB', second: '70 dB' },
      { what: 'Play, at most', first: '0.15 mm', second: '\u2013' },
      { what: '54 mm, loss', first: '20 dB', second: '20.25 dB' },
      { what: '54 mm, plus', first: '0.5 dB', second: '0.6 dB' },
      { what: '54 mm, travel tolerance', first: '0 mm', second: '0.1 mm' },
    ]);
  });

  test('show a point or mark that only one has', () => {
    const points = law.points.filter((point) => point.travelMm !== 99);
    const marks = law.marks.map((mark) => (mark.text === '-20' ? { ...mark, travelMm: 42.5 } : mark));
    expect(differences(law, { ...law, points, marks })).toEqual([
      { what: '99 mm', first: 'point at 1.25 dB', second: '\u2013' },
      { what: 'Mark \u221220', first: '42 mm', second: '42.5 mm' },
    ]);
  });

  test('take a mark for the same however its minus is written', () => {
    const marks = law.marks.map((mark) => ({ ...mark, text: mark.text.replace('-', '\u2212') }));
    expect(differences(law, { ...law, marks })).toEqual([]);
  });
});

describe('lines of the law’s chart', () => {
  test('go through every point, with travel upward', () => {
    expect(lossLine(law)).toEqual(law.points.map((point) => ({ x: point.lossDb, y: point.travelMm })));
  });

  test('of a stepped law stay on a contact until half way to the next', () => {
    const line = lossLine(stepped);
    const [first, second] = stepped.points;
    const half = ((first?.travelMm ?? 0) + (second?.travelMm ?? 0)) / 2;
    expect(line.slice(0, 3)).toEqual([
      { x: first?.lossDb, y: first?.travelMm },
      { x: first?.lossDb, y: half },
      { x: second?.lossDb, y: half },
    ]);
  });

  test('have a slope that adds up to the whole fall of the loss', () => {
    const slope = slopeLine(law);
    let fallDb = 0;
    for (let at = 0; at < slope.length; at += 2)
      fallDb += (slope[at]?.x ?? 0) * ((slope[at + 1]?.y ?? 0) - (slope[at]?.y ?? 0));
    expect(fallDb).toBeCloseTo((law.points[0]?.lossDb ?? 0) - (law.points.at(-1)?.lossDb ?? 0), 9);
    expect(slope.every((place) => place.x >= 0)).toBe(true);
  });

  test('break the quiet limit where any greater loss is allowed, never the loud one', () => {
    const { loud, quiet } = limitLines(law);
    expect(Number.isNaN(quiet[0]?.x)).toBe(true);
    expect(loud.some((place) => Number.isNaN(place.x))).toBe(false);
  });

  const axis = (x: number) =>
    axisFor([
      [
        { x, y: 0 },
        { x: Number.NaN, y: 1 },
      ],
    ]);

  test('end their axis at a round number not below the greatest value', () => {
    const ends = [70, 80, 81, 1.667, 2.2, 0.42, 0].map((most) => axis(most).end);
    expect(ends).toEqual([80, 80, 100, 2, 3, 0.5, 1]);
  });

  test('step their axis in numbers that need no rounding', () => {
    for (let most = 0.3; most < 200; most += 0.7) {
      const { end, step } = axis(most);
      expect(end / step, `${most}`).toBeCloseTo(Math.round(end / step), 9);
      // Whole numbers from 10 on, one decimal from 1 on.
      if (end >= 10) expect(step % 1, `${most}`).toBe(0);
      else if (end >= 1) expect((step * 10) % 1, `${most}`).toBeCloseTo(0, 9);
    }
  });
});

test('a refused file’s message ends where its list of places begins', () => {
  expect(headline('The law file was refused. Line 3: wrong. Line 4: wrong.', ['line 3: wrong'])).toBe(
    'The law file was refused.',
  );
  expect(headline('Too big.', [])).toBe('Too big.');
});
