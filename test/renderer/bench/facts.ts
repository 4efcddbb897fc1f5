import type { BenchFacts } from '../../../renderer/screens/bench/headline.ts';
import type { RigView, RunView } from '../../../src/contract/state.ts';

export const readyRig: RigView = {
  state: 'ready',
  reason: null,
  path: '/dev/ttyUSB0',
  identity: { model: 'FR-1', serial: 'R-0007', firmware: '1.0.0', protocol: 1, isVirtual: false },
  positionMm: 0.5,
  interlocks: { guardClosed: true, emergencyStopReleased: true, clampClosed: true },
  calibrationState: 'valid',
  calibrationSentence: null,
  calibrationDueAt: '2027-03-14T09:00:00.000Z',
};

export const someRun: RunView = {
  runId: '7d0c6a52-3f0a-4a6e-9a57-5b1f5a2a9b11',
  serial: 'PF104-26-48-00017',
  lawId: 'PF-104',
  lawRevision: 1,
  state: 'running',
  waitingFor: null,
  doing: 'point 9 of 21, moving up',
  stepIndex: 9,
  stepCount: 51,
  fraction: 0.2,
  timeLeftMs: 24_000,
};

/** A bench at which the next Enter measures. */
export const readyFacts: BenchFacts = {
  life: { state: 'running', reason: null },
  rig: readyRig,
  run: null,
  isStarting: false,
  shown: null,
  next: { text: 'PF104-26-48-00017', state: 'taken' },
  serialProblem: null,
  earlier: null,
  operator: 'KT',
  hasOperators: true,
  lawId: 'PF-104',
  hasLaws: true,
  isVirtual: false,
};
