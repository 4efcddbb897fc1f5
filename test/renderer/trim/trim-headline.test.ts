import { describe, expect, test } from 'vitest';
import type { Headline } from '../../../renderer/screens/bench/headline.ts';
import { type TrimFacts, trimHeadline, withBench } from '../../../renderer/screens/bench/trim/trim-headline.ts';
import { trimShapes } from '../../../renderer/screens/bench/trim/trim-shapes-of.ts';
import { accepted, conforms, cutting, ended, hopeless, planned, secondPass, unmeasured } from './pieces.ts';

const facts: TrimFacts = {
  piece: planned,
  stage: 'trimmable',
  view: 'one',
  isKnownHere: true,
  settleLeftS: 0,
  toClose: null,
  newest: null,
};
const say = (change: Partial<TrimFacts>) => trimHeadline({ ...facts, ...change });
const ready: Headline = {
  kind: 'ready',
  word: 'Ready',
  sentence: 'Clamp a fader.',
  reason: null,
  main: { label: 'Measure 00018', act: 'start' },
};

describe('the word and the sentence', () => {
  test('a trimmable track names its pass, and why it is outside', () => {
    const first = say({ newest: { isVoid: false, reason: 'Point 14 of 21: 0.45 dB too loud' } });
    expect([first.word, first.main]).toEqual(['Trimmable', { label: 'Begin pass 1', act: 'askCuts' }]);
    expect(first.sentence).toContain('10 cuts of pass 1 of 3');
    expect(first.reasons).toEqual(['Point 14 of 21: 0.45 dB too loud']);
    expect(say({ piece: secondPass }).sentence).toMatch(/^Pass 1 is measured\. .*4 cuts of pass 2 of 3/);
  });

  test('one cut at a time carries its number large', () => {
    const { word, sentence, main } = say({ piece: cutting(3), stage: 'cutting' });
    expect(word).toBe('Cut 4');
    expect(sentence).toContain('4 of 10 in pass 1 of 3');
    expect(main?.act).toBe('cutMade');
    expect(say({ piece: cutting(9), stage: 'cutting' }).main?.label).toBe('Last cut is made');
  });

  test('all cuts at once are confirmed at once', () => {
    const { word, main } = say({ piece: cutting(9), stage: 'cutting', view: 'all' });
    expect(word).toBe('1 cut');
    expect(main?.act).toBe('allCutsMade');
  });

  test('after the last cut nothing but a measurement is offered', () => {
    const shown = say({ piece: unmeasured, stage: 'unmeasured', toClose: 'Close the guard' });
    expect(shown.word).toBe('Unmeasured');
    expect(shown.sentence).toMatch(/^Cut, not yet measured\..*Close the guard, then Enter measures it again\.$/);
    expect(shown.main?.act).toBe('measure');
  });

  test('while dust and warmth settle, nothing can be started', () => {
    const shown = say({ piece: unmeasured, stage: 'unmeasured', settleLeftS: 7 });
    expect([shown.kind, shown.word, shown.main]).toEqual(['settling', 'Settling', null]);
  });

  test('a piece found cut and not measured says so, whatever was reported', () => {
    const broken = say({ piece: cutting(3), stage: 'unmeasured', isKnownHere: false });
    expect(broken.sentence).toContain('Cut, not yet measured. Cut nothing now.');
    expect(broken.reasons).toEqual(['Pass 1 was broken off: 3 of 10 cuts were reported as made, more may have been.']);
    const whole = say({ piece: unmeasured, stage: 'unmeasured', isKnownHere: false });
    expect(whole.reasons).toEqual(['Pass 1 was cut, and the work was broken off before it was measured.']);
  });

  test('a void measurement after cuts is said to be void', () => {
    const newest = { isVoid: true, reason: 'Stopped by the operator.' };
    const { reasons } = say({ piece: unmeasured, stage: 'unmeasured', newest });
    expect(reasons).toEqual(['The newest measurement says nothing: Stopped by the operator.']);
  });

  test.each([
    ['conforms', conforms, 'Conforms'],
    ['accepted', accepted, 'Accepted'],
    ['ended', ended, 'Ended'],
    ['hopeless', hopeless, 'Hopeless'],
  ] as const)('%s ends the piece, and cuts nothing more', (stage, piece, word) => {
    const shown = say({ piece, stage });
    expect(shown.word).toBe(word);
    expect(shown.main?.act).toBe('next');
    expect(shown.sentence).toMatch(word === 'Accepted' ? /after 1 pass\./ : /Cut nothing/);
  });

  test('a hopeless track tells every reason, an ended one why it ended', () => {
    expect(say({ piece: hopeless, stage: 'hopeless' }).reasons).toHaveLength(2);
    expect(say({ piece: ended, stage: 'ended' }).reasons).toEqual([ended.sentence]);
  });

  test('every state has its own shape', () => {
    const shapes = Object.entries(trimShapes).filter(([kind]) => kind !== 'settling');
    expect(new Set(shapes.map(([, shape]) => JSON.stringify(shape.parts))).size).toBe(shapes.length);
  });
});

describe('together with the bench', () => {
  test('after an end the slip’s own key comes next', () => {
    expect(withBench(ready, say({ piece: accepted, stage: 'accepted' })).main).toEqual({
      label: 'Measure 00018',
      act: 'next',
    });
  });

  test('a rig that is away keeps the piece from being measured, and says why', () => {
    const away: Headline = {
      ...ready,
      ...{ kind: 'noRig', word: 'No rig', sentence: 'Connect one.', main: { label: 'Go to Rig', act: 'openRig' } },
    };
    const shown = withBench(away, say({ piece: unmeasured, stage: 'unmeasured' }));
    expect(shown.word).toBe('Unmeasured');
    expect(shown.reasons).toEqual(['No rig: Connect one.']);
    expect(shown.main).toEqual({ label: 'Go to Rig', act: 'next' });
  });

  test('cuts are made without a rig', () => {
    const shown = say({ piece: cutting(3), stage: 'cutting' });
    expect(withBench({ ...ready, kind: 'noRig' }, shown)).toEqual(shown);
  });
});
