import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  checkDraft,
  draftOf,
  numberOf,
  withBlock,
  withCell,
  withoutRow,
  withRowAfter,
} from '../../../renderer/screens/laws/draft.ts';
import { beginHistory, changed, redone, undone } from '../../../renderer/screens/laws/draft-history.ts';
import { exampleLaw, exampleLaws } from '../../../src/law/examples.ts';
import { randomLaw } from '../../law/random-laws.ts';

const law = exampleLaw('PF-104');
const draft = draftOf(law, 2);

describe('a draft', () => {
  test('of any kept law is that law again, with the next revision', () => {
    for (const kept of exampleLaws()) {
      expect(checkDraft(draftOf(kept, 7))).toEqual({ law: { ...kept, revision: 7 }, problems: [] });
    }
  });

  test('of a random law loses nothing in being written as text', () => {
    fc.assert(
      fc.property(randomLaw(), (kept) => {
        const { law: again, problems } = checkDraft(draftOf(kept, kept.revision));
        expect(problems).toEqual([]);
        // The tolerance is typed in percent and may differ in its last binary digit.
        expect(again?.resistance.toleranceFraction).toBeCloseTo(kept.resistance.toleranceFraction, 12);
        expect({ ...again, resistance: null }).toEqual({ ...kept, resistance: null });
      }),
    );
  });

  test('with a text that is no number says so at its cell, and only that', () => {
    const { law: built, problems } = checkDraft(withCell(draft, 3, 'lossDb', '5O'));
    expect(built).toBeNull();
    expect(problems).toEqual([
      expect.objectContaining({ row: 4, path: ['points', 3, 'lossDb'], message: expect.stringContaining('5O') }),
    ]);
  });

  test('with an empty cell is a gap, not a zero', () => {
    const { law: built, problems } = checkDraft(withCell(draft, 3, 'plusDb', ''));
    expect(built).toBeNull();
    expect(problems.map((problem) => problem.path)).toContainEqual(['points', 3, 'plusDb']);
  });

  test('breaking a rule of laws shows the rule’s own problem at its row', () => {
    const { problems } = checkDraft(withCell(draft, 5, 'minusDb', '0'));
    expect(problems).toEqual([expect.objectContaining({ row: 6, path: ['points', 5, 'minusDb'] })]);
    const risen = checkDraft(withCell(draft, 11, 'lossDb', '90'));
    expect(risen.problems.map((problem) => problem.path)).toContainEqual(['points', 11, 'lossDb']);
  });

  test('shows several problems at once, read and unread', () => {
    const wrong = withCell(withCell(draft, 2, 'lossDb', 'x'), 8, 'minusDb', '-1');
    expect(checkDraft(wrong).problems.map((problem) => problem.row)).toEqual([3, 9]);
  });

  test('takes "any" for a point without upper limit, an empty travel tolerance for none', () => {
    const built = checkDraft(withCell(draft, 0, 'plusDb', ' Any ')).law;
    expect(built?.points[0]?.plusDb).toBeNull();
    expect(built?.points[0]).not.toHaveProperty('travelTolMm');
    expect(checkDraft(withCell(draft, 20, 'travelTolMm', '0.1')).law?.points[20]?.travelTolMm).toBe(0.1);
  });

  test('takes optional fields as left out when empty', () => {
    const bare = { ...draft, whole: { ...draft.whole, loadOhm: '', maxPlayMm: '' } };
    expect(checkDraft(bare).law).toMatchObject({ loadOhm: null, limits: {} });
  });
});

describe('rows of a draft', () => {
  test('are added with the tolerances of the row below and without a place', () => {
    const added = withRowAfter(draft, 14);
    expect(added.points).toHaveLength(draft.points.length + 1);
    expect(added.points[15]).toEqual({ ...draft.points[14], travelMm: '', lossDb: '' });
    expect(checkDraft(added).law).toBeNull();
    expect(withoutRow(added, 15)).toEqual(draft);
  });

  test('take a block from a spreadsheet from one cell on, and grow where it is longer', () => {
    const last = draft.points.length - 1;
    const pasted = withBlock(draft, last, 'lossDb', '0,4\t0.2\r\n0.1\t0.1\r\n');
    expect(pasted.points[last]).toMatchObject({ lossDb: '0,4', minusDb: '0.2', plusDb: draft.points[last]?.plusDb });
    expect(pasted.points[last + 1]).toMatchObject({ travelMm: '', lossDb: '0.1', minusDb: '0.1' });
    expect(draft.points).toHaveLength(last + 1);
  });

  test('drop what a pasted block has beyond the last column', () => {
    const pasted = withBlock(draft, 4, 'travelTolMm', '0.1\tnote');
    expect(pasted.points[4]).toEqual({ ...draft.points[4], travelTolMm: '0.1' });
  });
});

test('numbers are read with point, comma or true minus, and nothing else is', () => {
  expect(['12', ' 0.5 ', '0,5', '.5', '-3', '\u22123', '1e3'].map(numberOf)).toEqual([12, 0.5, 0.5, 0.5, -3, -3, 1000]);
  expect(['', ' ', '1O', '1 2', '0x10', 'NaN', 'Infinity', '1,2,3', '--1'].map(numberOf)).toEqual(
    Array.from({ length: 9 }, () => null),
  );
});

describe('taking changes back', () => {
  const typed = (text: string, from = beginHistory(draft)) =>
    changed(from, withCell(from.now, 3, 'lossDb', text), '3-lossDb');

  test('typing on in one cell is one change', () => {
    const history = typed('55', typed('5'));
    expect(history.past).toEqual([draft]);
    expect(undone(history).now).toEqual(draft);
    expect(redone(undone(history)).now).toEqual(history.now);
  });

  test('another cell, or the same after undoing, is another change', () => {
    const two = changed(typed('5'), withCell(typed('5').now, 4, 'lossDb', '4'), '4-lossDb');
    expect(two.past).toHaveLength(2);
    expect(typed('6', undone(typed('5'))).past).toHaveLength(1);
  });

  test('a change after undoing forgets what was undone', () => {
    const history = changed(undone(typed('5')), withoutRow(draft, 0));
    expect(history.future).toEqual([]);
    expect(redone(history)).toEqual(history);
  });

  test('undoing everything always leads back to the beginning, redoing to the end', () => {
    const step = fc.record({ row: fc.nat(20), text: fc.string({ maxLength: 4 }), typing: fc.boolean() });
    fc.assert(
      fc.property(fc.array(step, { maxLength: 40 }), (steps) => {
        let history = beginHistory(draft);
        for (const { row, text, typing } of steps) {
          history = changed(history, withCell(history.now, row, 'lossDb', text), typing ? `${row}` : null);
        }
        const end = history.now;
        for (const _ of steps) history = undone(history);
        expect(history.now).toEqual(draft);
        for (const _ of steps) history = redone(history);
        expect(history.now).toEqual(end);
      }),
    );
  });
});
