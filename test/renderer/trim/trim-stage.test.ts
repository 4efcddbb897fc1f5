import { describe, expect, test } from 'vitest';
import { cutsLeft, drawnCuts, planPass, stageOf } from '../../../renderer/screens/bench/trim/trim-stage.ts';
import type { TrimPiece, TrimView } from '../../../src/contract/trim.ts';
import { accepted, conforms, cuts, cutting, ended, hopeless, planned, secondPass, unmeasured } from './pieces.ts';

const here = { serial: planned.serial, pass: 1 };
const view: TrimView = {
  serial: planned.serial,
  state: 'measured',
  mustRemeasure: false,
  pass: 0,
  passLimit: 3,
  isPlanning: true,
  settleLeftMs: 0,
  needleCell: null,
};
const stage = (piece: TrimPiece, asked: typeof here | null = here) =>
  stageOf(piece, { view: null, asked, isMeasured: false });

describe('where a piece stands', () => {
  test.each([
    ['planned', planned, 'trimmable'],
    ['cuts asked here', cutting(3), 'cutting'],
    ['all cuts made', unmeasured, 'unmeasured'],
    ['accepted after cuts', accepted, 'accepted'],
    ['accepted uncut', conforms, 'conforms'],
    ['ended', ended, 'ended'],
    ['hopeless', hopeless, 'hopeless'],
    ['void at its first measurement', { ...planned, state: 'measured', sort: null, plan: null }, 'unsorted'],
  ] as const)('%s', (_name, piece, wanted) => {
    expect(stage(piece)).toBe(wanted);
  });

  test('cuts that were asked for at another time or window are never asked for again', () => {
    expect(stage(cutting(3), null)).toBe('unmeasured');
    expect(stage(cutting(0), null)).toBe('unmeasured');
    expect(stage(cutting(3), { ...here, pass: 2 })).toBe('unmeasured');
    expect(stage(cutting(3), { ...here, serial: 'PF104-26-48-00018' })).toBe('unmeasured');
  });

  test('between a measurement and what follows from it, no old plan is shown', () => {
    expect(stageOf(unmeasured, { view, asked: here, isMeasured: false })).toBe('sorting');
    expect(stageOf(planned, { view: null, asked: here, isMeasured: true })).toBe('sorting');
    expect(stageOf(planned, { view: { ...view, serial: 'PF104-26-48-00018' }, asked: here, isMeasured: false })).toBe(
      'trimmable',
    );
  });
});

describe('the cuts of a piece', () => {
  test('are left until they are reported as made', () => {
    expect(cutsLeft(planned)).toHaveLength(cuts.length);
    expect(cutsLeft(cutting(3)).map(({ number }) => number)).toEqual(cuts.slice(3).map(({ number }) => number));
    expect(cutsLeft(unmeasured)).toEqual([]);
  });

  test('one at a time, only the next one stands out; as a list none does', () => {
    const states = (isOne: boolean) => drawnCuts(cutting(3), 'cutting', isOne).map(({ state }) => state);
    expect(states(true).slice(0, 5)).toEqual(['done', 'done', 'done', 'now', 'later']);
    expect(states(false).slice(0, 5)).toEqual(['done', 'done', 'done', 'later', 'later']);
  });

  test('that nobody knows of are drawn neither as made nor as to be made', () => {
    const states = new Set(drawnCuts(cutting(3), 'unmeasured', true).map(({ state }) => state));
    expect(states).toEqual(new Set(['done', 'unsure']));
  });

  test('of earlier passes stay on the track, those of an ended plan do not', () => {
    const drawn = drawnCuts(secondPass, 'trimmable', true);
    expect(drawn.filter(({ state }) => state === 'done')).toHaveLength(cuts.length);
    expect(drawn.filter(({ state }) => state === 'later')).toHaveLength(4);
    expect(new Set(drawn.map(({ key }) => key)).size).toBe(drawn.length);
    expect(drawnCuts(accepted, 'accepted', true).every(({ state }) => state === 'done')).toBe(true);
    expect(drawnCuts(hopeless, 'hopeless', true)).toEqual([]);
  });

  test('belong to the pass that would come, or to the one that is under way', () => {
    expect([planPass(planned), planPass(cutting(2)), planPass(secondPass)]).toEqual([1, 1, 2]);
  });
});
