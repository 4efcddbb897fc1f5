import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type BenchFacts, headline, openLocks, type ShownVerdict } from '../../../renderer/screens/bench/headline.ts';
import type { RigView } from '../../../src/contract/state.ts';
import { readyFacts, readyRig, someRun } from './facts.ts';

const withRig = (change: Partial<RigView>): BenchFacts => ({ ...readyFacts, rig: { ...readyRig, ...change } });
const failed: ShownVerdict = {
  verdict: 'fail',
  reason: 'Point 14 of 21: 0.75 dB too quiet',
  nextStep: 'Set it aside as rejected, with this result.',
  lookedUpAt: null,
};

describe('before a run', () => {
  test('with everything in place Enter measures, and the key names the piece', () => {
    const { word, sentence, main } = headline(readyFacts);
    expect([word, sentence]).toEqual(['Ready', 'Press Enter to measure 00017.']);
    expect(main).toEqual({ label: 'Measure 00017', act: 'start' });
  });

  test.each([
    ['absent', 'No rig'],
    ['connecting', 'Connecting'],
    ['lost', 'Line lost'],
    ['refused', 'Refused'],
  ] as const)('a rig that is %s is named and nothing can be started', (state, word) => {
    const shown = headline(
      withRig({ state, interlocks: null, calibrationState: null, reason: 'It answers in an unknown tongue' }),
    );
    expect(shown.word).toBe(word);
    expect(shown.main?.act).not.toBe('start');
  });

  test('the reason of a refusal is the sentence', () => {
    expect(headline(withRig({ state: 'refused', reason: 'It speaks protocol 4' })).sentence).toBe(
      'It speaks protocol 4.',
    );
  });

  test.each(['absent', 'overdue', 'otherRig', null] as const)(
    'calibration %s: says that a result would be void, and leads to the rig instead of measuring',
    (calibrationState) => {
      const shown = headline(withRig({ calibrationState, calibrationSentence: 'It was due on 2026-10-01.' }));
      expect(shown.word).toBe('Not trusted');
      expect(shown.sentence).toContain('void');
      expect(shown.reason).toBe('It was due on 2026-10-01.');
      expect(shown.main?.act).toBe('openRig');
    },
  );

  test('the first thing that is missing on the slip is asked for', () => {
    expect(headline({ ...readyFacts, operator: null, hasOperators: false }).main?.act).toBe('openSettings');
    expect(headline({ ...readyFacts, hasLaws: false, lawId: null }).main?.act).toBe('openLaws');
    expect(headline({ ...readyFacts, next: { text: '', state: 'empty' } }).main?.act).toBe('scan');
    expect(headline({ ...readyFacts, next: { text: 'PF104-26-48-00018', state: 'typed' } }).main?.act).toBe('take');
  });

  test('a label that is no serial keeps the run from starting and is explained', () => {
    const shown = headline({ ...readyFacts, next: { text: 'BOX 12', state: 'misread' }, serialProblem: 'No serial.' });
    expect([shown.word, shown.sentence, shown.main?.act]).toEqual(['Not ready', 'No serial.', 'scan']);
  });

  test('a piece that failed before says so, and which attempt this will be', () => {
    const earlier = { clause: 'failed at 14:15', attempt: 2 };
    expect(headline({ ...readyFacts, earlier })).toMatchObject({
      word: 'Ready',
      sentence: '00017 failed at 14:15; this will be attempt 2. Press Enter to measure 00017.',
    });
    const rig = { ...readyRig, interlocks: { guardClosed: false, emergencyStopReleased: true, clampClosed: true } };
    expect(headline({ ...readyFacts, rig, earlier }).sentence).toMatch(/^00017 failed at 14:15; .* Close the guard, /);
  });

  test('a piece measured before at another law only is no second attempt, but what it did is said', () => {
    const earlier = { clause: 'failed at 14:15', attempt: null };
    expect(headline({ ...readyFacts, earlier }).sentence).toBe('00017 failed at 14:15. Press Enter to measure 00017.');
  });

  test('open interlocks are asked for in one sentence', () => {
    const rig = { ...readyRig, interlocks: { guardClosed: false, emergencyStopReleased: true, clampClosed: false } };
    expect(headline({ ...readyFacts, rig }).sentence).toBe('Close the clamp and close the guard, then press Enter.');
    expect(openLocks({ ...rig, state: 'lost' })).toBeNull();
  });

  test('a second Enter while the core is asked starts nothing', () => {
    expect(headline({ ...readyFacts, isStarting: true }).main).toBeNull();
  });
});

describe('during a run', () => {
  test('what is done now is said, and Enter does nothing', () => {
    const { word, sentence, main } = headline({ ...readyFacts, run: someRun });
    expect([word, main]).toEqual(['Measuring', null]);
    expect(sentence).toContain('Point 9 of 21');
  });

  test('a run that waits says for what', () => {
    const run = { ...someRun, waitingFor: 'Close the guard.' };
    expect(headline({ ...readyFacts, run })).toMatchObject({
      word: 'Waiting',
      sentence: 'Close the guard. The run then goes on by itself.',
      main: null,
    });
  });

  test('paused: Enter goes on', () => {
    expect(headline({ ...readyFacts, run: { ...someRun, state: 'paused' } })).toMatchObject({
      word: 'Paused',
      main: { act: 'resume' },
    });
  });

  test('stopping wins over waiting', () => {
    const run = { ...someRun, state: 'stopping' as const, waitingFor: 'Close the guard.' };
    expect(headline({ ...readyFacts, run }).word).toBe('Stopping');
  });
});

describe('after a run', () => {
  test('the verdict, its reason and the next step stand until the next piece is taken', () => {
    const empty = { ...readyFacts, shown: failed, next: { text: '', state: 'empty' as const } };
    expect(headline(empty)).toMatchObject({
      word: 'Fail',
      reason: failed.reason,
      sentence: 'Set it aside as rejected, with this result. Then scan the next one.',
    });
    expect(headline({ ...empty, next: { text: 'PF104-26-48-00018', state: 'taken' } }).word).toBe('Ready');
  });

  test.each(['offered', 'early'] as const)('a piece that is %s does not hide the verdict', (state) => {
    const shown = headline({ ...readyFacts, shown: failed, next: { text: 'PF104-26-48-00018', state } });
    expect(shown.word).toBe('Fail');
    expect(shown.sentence).toContain('Enter then measures 00018.');
    expect(shown.main?.act).toBe('start');
  });

  test('what the next piece did before is said under the verdict of this one', () => {
    const earlier = { clause: 'failed at 14:15', attempt: 2 };
    const next = { text: 'PF104-26-48-00018', state: 'early' as const };
    expect(headline({ ...readyFacts, shown: failed, next, earlier }).sentence).toContain(
      'Enter then measures 00018, which failed at 14:15 (attempt 2).',
    );
  });

  test.each(['absent', 'overdue', 'otherRig'] as const)(
    'an older verdict does not hide that the calibration is %s now',
    (calibrationState) => {
      const rig = { ...readyRig, calibrationState };
      const shown = { ...failed, lookedUpAt: '2026-11-25 09:12' };
      expect(headline({ ...readyFacts, rig, shown }).sentence).toContain('A result would be void.');
    },
  );

  test('a pass gives no reason, for there is nothing to mend', () => {
    const shown = { ...failed, verdict: 'pass' as const };
    expect(headline({ ...readyFacts, shown, next: { text: '', state: 'empty' } }).reason).toBeNull();
  });

  test('a lost line is said under the verdict that it spoiled', () => {
    const rig = { ...readyRig, state: 'lost' as const, reason: 'The line went silent' };
    const shown = { ...failed, verdict: 'void' as const, reason: 'The line was lost at point 3.' };
    expect(headline({ ...readyFacts, rig, shown, next: { text: '', state: 'empty' } })).toMatchObject({
      word: 'Void',
      reason: 'The line was lost at point 3.',
      main: { act: 'openRig' },
    });
  });

  test('an older piece that was picked says when it was measured', () => {
    const shown = { ...failed, lookedUpAt: '2026-11-25 09:12' };
    expect(headline({ ...readyFacts, shown })).toMatchObject({ word: 'Fail' });
    expect(headline({ ...readyFacts, shown }).sentence).toMatch(/^Measured 2026-11-25 09:12\. /);
  });
});

test('without the core nothing is offered but to start it again', () => {
  const gone = headline({ ...readyFacts, shown: failed, life: { state: 'gone', reason: 'exit code 1' } });
  expect([gone.word, gone.reason, gone.main?.act]).toEqual(['No core', 'exit code 1', 'restartCore']);
  expect(headline({ ...readyFacts, life: { state: 'restarting', reason: null } }).main).toBeNull();
});

test('whatever the state: never "start" without a trusted rig, an operator, a law and a taken serial; always a word and a sentence', () => {
  const anyFacts = fc.record({
    life: fc.constantFrom({ state: 'running' as const, reason: null }, { state: 'gone' as const, reason: 'x' }),
    rig: fc.option(
      fc.record({
        state: fc.constantFrom('absent', 'connecting', 'ready', 'lost', 'refused'),
        reason: fc.constantFrom(null, 'because'),
        calibrationState: fc.constantFrom('valid', 'overdue', 'absent', 'otherRig', null),
        interlocks: fc.option(
          fc.record({ guardClosed: fc.boolean(), emergencyStopReleased: fc.boolean(), clampClosed: fc.boolean() }),
        ),
      }),
    ),
    run: fc.option(
      fc.record({
        state: fc.constantFrom('running', 'pausing', 'paused', 'stopping'),
        waitingFor: fc.constantFrom(null, 'Close the guard.'),
      }),
    ),
    shown: fc.option(fc.constant(failed)),
    next: fc.record({
      text: fc.constant('PF104-26-48-00017'),
      state: fc.constantFrom('empty', 'offered', 'typed', 'misread', 'taken', 'early'),
    }),
    operator: fc.constantFrom(null, 'KT'),
    lawId: fc.constantFrom(null, 'PF-104'),
    isStarting: fc.boolean(),
  });
  fc.assert(
    fc.property(anyFacts, (some) => {
      const facts = {
        ...readyFacts,
        ...some,
        rig: some.rig === null ? null : { ...readyRig, ...some.rig },
        run: some.run === null ? null : { ...someRun, ...some.run },
      } as BenchFacts;
      const shown = headline(facts);
      expect(shown.word).not.toBe('');
      expect(shown.sentence).not.toBe('');
      if (shown.main?.act === 'start') {
        expect(facts.life.state).toBe('running');
        expect(facts.run).toBeNull();
        expect(facts.rig).toMatchObject({ state: 'ready', calibrationState: 'valid' });
        expect(facts.operator).not.toBeNull();
        expect(facts.lawId).not.toBeNull();
        expect(['offered', 'taken', 'early']).toContain(facts.next.state);
      }
      if (shown.word === 'Pass') expect(facts.shown?.verdict).toBe('pass');
    }),
  );
});
