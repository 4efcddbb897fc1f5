import type { RunRecord } from '../../src/archive/records.ts';
import type { ToolBeliefRecord, TrimEvent, TrimEventState } from '../../src/archive/trim-records.ts';
import { exampleLaw, exampleRun } from './example-runs.ts';

/** A completed trim run of one piece; every number is another run. */
export function trimRun(number: number, changed: Partial<RunRecord> = {}): RunRecord {
  const { points, checks, ...run } = exampleRun(number);
  return {
    ...run,
    ...{ points, checks, serial: 'PF104-26-48-00017', job: 'trim', verdict: 'fail' },
    ...changed,
  };
}

export function trimEvent(state: TrimEventState, run: RunRecord, changed: Partial<TrimEvent> = {}): TrimEvent {
  return {
    serial: run.serial,
    batch: run.batch,
    state,
    pass: 0,
    runId: run.runId,
    lawId: exampleLaw.id,
    lawRevision: exampleLaw.revision,
    toolId: 'M1',
    toolKind: 'mill',
    operator: 'KD',
    at: '2026-11-25T11:00:00.000Z',
    content: { cuts: [1, 2] },
    ...changed,
  };
}

export function exampleBelief(changed: Partial<ToolBeliefRecord> = {}): ToolBeliefRecord {
  return {
    rigSerial: 'VR0001',
    toolId: 'M1',
    toolKind: 'mill',
    trackType: 'PF-104',
    sheet: 'TFW-2648',
    cause: 'toolRenewed',
    mean: 1,
    sd: 0.15,
    cutSd: 0.1,
    cuts: 0,
    runId: null,
    reason: 'new cutter',
    operator: 'KD',
    at: '2026-11-25T11:00:00.000Z',
    ...changed,
  };
}
