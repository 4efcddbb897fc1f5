import Database from 'better-sqlite3';
import fc from 'fast-check';
import { describe, expect, onTestFinished, test } from 'vitest';
import type { Archive } from '../../src/archive/archive.ts';
import { TrimRefusedError } from '../../src/archive/errors.ts';
import type { TrimEventState } from '../../src/archive/trim-records.ts';
import { exampleBelief, trimEvent, trimRun } from './example-trim.ts';
import { filled, opened, thrownBy } from './places.ts';

/** An archive with two trim runs of one piece. */
function withRuns(): { archive: Archive; before: ReturnType<typeof trimRun>; after: ReturnType<typeof trimRun> } {
  const archive = filled();
  const before = trimRun(1);
  const after = trimRun(2);
  archive.recordRun(before);
  archive.recordRun(after);
  return { archive, before, after };
}

describe('the events of a trimmed piece', () => {
  test('come back in order and whole after the program has ended', () => {
    const { archive, before, after } = withRuns();
    const events = [
      trimEvent('measured', before, { content: { worstDeviationDb: -0.1234567890123, gain: null } }),
      trimEvent('planned', before),
      trimEvent('cutsAsked', before, { pass: 1, content: {} }),
      trimEvent('cutsDone', before, { pass: 1 }),
      trimEvent('measured', after, { pass: 1 }),
    ];
    archive.recordTrim(events.slice(0, 2));
    for (const event of events.slice(2)) archive.recordTrim([event]);
    archive.close();
    const again = opened(archive.path);
    expect(again.trimEvents(before.serial)).toEqual(events);
    expect(again.trimEventsOfBatch('TFW-2648')).toEqual(events);
    expect(again.trimEventsOfBatch('other')).toEqual([]);
    expect(again.trimEvents('PF104-26-48-00018')).toEqual([]);
    expect(again.checkIntegrity('full').findings).toEqual([]);
  });

  test('show which pieces were cut, or may have been, and are not measured yet', () => {
    const { archive, before, after } = withRuns();
    archive.recordTrim([trimEvent('measured', before), trimEvent('planned', before)]);
    expect(archive.cutNotMeasured()).toEqual([]);
    archive.recordTrim([trimEvent('cutsAsked', before, { pass: 1 })]);
    expect(archive.cutNotMeasured()).toEqual([before.serial]);
    archive.recordTrim([trimEvent('cutsDone', before, { pass: 1 })]);
    expect(archive.cutNotMeasured()).toEqual([before.serial]);
    archive.recordTrim([trimEvent('measured', after, { pass: 1 })]);
    expect(archive.cutNotMeasured()).toEqual([]);
  });

  test('never let the same cuts be planned or asked for twice, whatever the order of attempts', () => {
    const follows: Record<TrimEventState | 'nothing', readonly TrimEventState[]> = {
      nothing: ['measured'],
      measured: ['measured', 'planned', 'accepted', 'ended', 'hopeless'],
      planned: ['measured', 'cutsAsked', 'ended'],
      cutsAsked: ['measured', 'cutsDone', 'ended'],
      cutsDone: ['measured', 'cutsDone', 'ended'],
      accepted: ['measured'],
      ended: ['measured'],
      hopeless: ['measured'],
    };
    const states = Object.keys(follows).filter((state) => state !== 'nothing') as TrimEventState[];
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...states), { maxLength: 12 }), (attempts) => {
        const archive = filled();
        let last: TrimEventState | 'nothing' = 'nothing';
        let number = 0;
        for (const state of attempts) {
          // A measurement is always a run of its own; everything else rests on the newest one.
          if (state === 'measured') archive.recordRun(trimRun(++number, { verdict: 'pass' }));
          const record = (): void => archive.recordTrim([trimEvent(state, trimRun(Math.max(1, number)))]);
          if (follows[last].includes(state)) {
            record();
            last = state;
          } else {
            expect(thrownBy(record), `${last} then ${state}`).toBeInstanceOf(TrimRefusedError);
          }
        }
        archive.close();
      }),
      { numRuns: 40 },
    );
  });

  test('rest on a completed trim run of the same piece and law', () => {
    const { archive, before } = withRuns();
    archive.recordRun(trimRun(3, { job: 'measure' }));
    archive.recordRun(trimRun(4, { outcome: 'stopped', outcomeReason: 'stopped by hand', verdict: 'fail' }));
    for (const wrong of [
      trimEvent('measured', trimRun(3)),
      trimEvent('measured', trimRun(4)),
      trimEvent('measured', before, { serial: 'PF104-26-48-00018' }),
      trimEvent('measured', before, { runId: 'no such run' }),
    ]) {
      expect(thrownBy(() => archive.recordTrim([wrong]))).toMatchObject({ code: 'trimRefused' });
    }
    expect(archive.trimEvents(before.serial)).toEqual([]);
  });

  test('call nothing accepted that did not pass, and take a run once', () => {
    const { archive, before, after } = withRuns();
    archive.recordTrim([trimEvent('measured', before)]);
    expect(() => archive.recordTrim([trimEvent('accepted', before)])).toThrow('only a piece that passed is accepted');
    expect(() => archive.recordTrim([trimEvent('measured', before)])).toThrow('once');
    expect(() => archive.recordTrim([trimEvent('planned', after)])).toThrow('names that measurement');
  });

  test('are written together or not at all', () => {
    const { archive, before, after } = withRuns();
    archive.recordTrim([trimEvent('measured', before), trimEvent('planned', before)]);
    const learnt = exampleBelief({ cause: 'learnt', runId: after.runId, reason: null });
    const wrong = [trimEvent('measured', after), trimEvent('cutsAsked', after, { pass: 1 })];
    expect(() => archive.recordTrim(wrong, learnt)).toThrow(TrimRefusedError);
    expect(archive.trimEvents(before.serial)).toHaveLength(2);
    expect(archive.toolBeliefs('VR0001', 'M1', 'PF-104')).toEqual([]);
  });

  test('hold no number that the file would bend', () => {
    const { archive, before } = withRuns();
    const bent = trimEvent('measured', before, { content: { deviationDb: Number.POSITIVE_INFINITY } });
    expect(thrownBy(() => archive.recordTrim([bent]))).toMatchObject({ code: 'notPlainData' });
    expect(thrownBy(() => archive.recordTrim([trimEvent('measured', before, { at: 'yesterday' })]))).toMatchObject({
      code: 'trimRefused',
    });
  });
});

describe('what is believed of a tool', () => {
  test('is kept as a history per rig, tool and track, newest first', () => {
    const { archive, before, after } = withRuns();
    const first = exampleBelief();
    const second = exampleBelief({ cause: 'learnt', mean: 0.83, sd: 0.02, cuts: 21, runId: after.runId, reason: null });
    archive.recordTrim([trimEvent('measured', before)], first);
    archive.recordTrim([], second);
    archive.recordTrim([], exampleBelief({ toolId: 'M2' }));
    expect(archive.toolBeliefs('VR0001', 'M1', 'PF-104')).toEqual([second, first]);
    expect(archive.toolBeliefs('VR0001', 'M1', 'GF-60')).toEqual([]);
    expect(archive.toolBeliefs('VR0002', 'M1', 'PF-104')).toEqual([]);
  });

  test('is learnt from a run, or not learnt', () => {
    const { archive } = withRuns();
    expect(() => archive.recordTrim([], exampleBelief({ cause: 'learnt' }))).toThrow(TrimRefusedError);
    expect(() => archive.recordTrim([], exampleBelief({ mean: 0 }))).toThrow(TrimRefusedError);
  });
});

test('another tool on the same file cannot put events out of order', () => {
  const { archive, before } = withRuns();
  archive.recordTrim([trimEvent('measured', before), trimEvent('planned', before), trimEvent('cutsAsked', before)]);
  archive.close();
  const db = new Database(archive.path);
  onTestFinished(() => {
    db.close();
  });
  const again =
    db.prepare(`INSERT INTO trim_events (serial, state, pass, run_id, law_id, law_revision, tool_id, tool_kind, operator, at, at_ms, content)
    SELECT serial, 'cutsAsked', 2, run_id, law_id, law_revision, tool_id, tool_kind, operator, at, at_ms, content FROM trim_events LIMIT 1`);
  expect(() => again.run()).toThrow(/cuts are asked for once/);
});
