/** The one large word and the one sentence: what is known, and what to do next. Pure. */
import type { CoreLife } from '../../../src/contract/shell.ts';
import type { RigView, RunView, VerdictWord } from '../../../src/contract/state.ts';
import type { Earlier } from './earlier.ts';
import type { NextPiece } from './job-slip.ts';

export type BenchKind =
  | 'coreAway'
  | 'noRig'
  | 'connecting'
  | 'lineLost'
  | 'refused'
  | 'notTrusted'
  | 'notReady'
  | 'ready'
  | 'measuring'
  | 'waiting'
  | 'pausing'
  | 'paused'
  | 'stopping'
  | VerdictWord;

/** What the violet key does. */
export type MainAct = 'start' | 'take' | 'scan' | 'resume' | 'openRig' | 'openLaws' | 'openSettings' | 'restartCore';

export interface Headline {
  readonly kind: BenchKind;
  readonly word: string;
  readonly sentence: string;
  /** Why, where the word alone does not tell; null otherwise. */
  readonly reason: string | null;
  /** Null while nothing can be done but wait. */
  readonly main: { readonly label: string; readonly act: MainAct } | null;
}

export interface ShownVerdict {
  readonly verdict: VerdictWord;
  readonly reason: string;
  readonly nextStep: string;
  /** When it was measured, for a run picked from the last pieces; null = it was measured just now. */
  readonly lookedUpAt: string | null;
}

export interface BenchFacts {
  readonly life: CoreLife;
  readonly rig: RigView | null;
  /** Null when nothing is being measured. */
  readonly run: RunView | null;
  /** A run has been asked for and not yet answered. */
  readonly isStarting: boolean;
  readonly shown: ShownVerdict | null;
  readonly next: NextPiece;
  readonly serialProblem: string | null;
  /** How the next piece did before; null = it was never measured, or that is not known yet. */
  readonly earlier: Earlier | null;
  readonly operator: string | null;
  readonly hasOperators: boolean;
  readonly lawId: string | null;
  readonly hasLaws: boolean;
  readonly isVirtual: boolean;
}

type Part = Omit<Headline, 'reason'>;

const plain = (kind: BenchKind, word: string, sentence: string, main: Headline['main'] = null): Part => ({
  kind,
  word,
  sentence,
  main,
});

const verdictNames: Readonly<Record<VerdictWord, string>> = {
  pass: 'Pass',
  doubt: 'Doubt',
  fail: 'Fail',
  void: 'Void',
};

export function headline(facts: BenchFacts): Headline {
  if (facts.life.state !== 'running') return { ...coreAway(facts.life.state === 'gone'), reason: facts.life.reason };
  if (facts.run !== null) return { ...duringRun(facts.run), reason: null };
  const idle = readiness(facts);
  if (!showsVerdict(facts) || facts.shown === null) {
    return { ...idle, reason: idle.kind === 'notTrusted' ? (facts.rig?.calibrationSentence ?? null) : null };
  }
  const { verdict, reason } = facts.shown;
  return {
    kind: verdict,
    word: verdictNames[verdict],
    sentence: afterwards(facts, facts.shown, idle),
    reason: verdict === 'pass' ? null : reason,
    main: idle.main,
  };
}

const coreAway = (isGone: boolean): Part =>
  isGone
    ? plain('coreAway', 'No core', 'The measuring process ended. Recorded results are on disk.', {
        label: 'Start it again',
        act: 'restartCore',
      })
    : plain('coreAway', 'No core', 'The measuring process comes back by itself; wait. Recorded results are on disk.');

/** A verdict stays until the next piece is taken in hand. */
export const showsVerdict = ({ run, shown, next }: Pick<BenchFacts, 'run' | 'shown' | 'next'>): boolean =>
  run === null && shown !== null && (shown.lookedUpAt !== null || next.state !== 'taken');

function afterwards({ next, earlier }: BenchFacts, shown: ShownVerdict, idle: Part): string {
  if (shown.lookedUpAt !== null) return `Measured ${shown.lookedUpAt}. ${idle.sentence}`;
  if (idle.kind !== 'ready' || idle.main === null) return idle.sentence;
  if (idle.main.act === 'start' && shown.verdict === 'void') {
    return `${shown.nextStep} Scan it for that; Enter goes on with ${ownNumber(next.text)}${goesBefore(earlier)}.`;
  }
  if (idle.main.act === 'start')
    return `${shown.nextStep} Enter then measures ${ownNumber(next.text)}${goesBefore(earlier)}.`;
  if (idle.main.act === 'scan' && next.state === 'empty') return `${shown.nextStep} Then scan the next one.`;
  return idle.sentence;
}

/** `, which failed at 14:15 (attempt 2)`; empty for a piece that was never measured. */
function goesBefore(earlier: Earlier | null): string {
  if (earlier === null) return '';
  return `, which ${earlier.clause}${earlier.attempt === null ? '' : ` (attempt ${earlier.attempt})`}`;
}

/** `00017 failed at 14:15; this will be attempt 2. `; empty for a piece that was never measured. */
function wentBefore(own: string, earlier: Earlier | null): string {
  if (earlier === null) return '';
  return `${own} ${earlier.clause}${earlier.attempt === null ? '' : `; this will be attempt ${earlier.attempt}`}. `;
}

const ownNumber = (serial: string): string => serial.slice(serial.lastIndexOf('-') + 1);

function duringRun(run: RunView): Part {
  const doing = run.doing === '' ? 'Measuring' : `${run.doing.charAt(0).toUpperCase()}${run.doing.slice(1)}`;
  if (run.state === 'stopping')
    return plain('stopping', 'Stopping', 'The carriage comes to rest. Keep your hands away.');
  if (run.waitingFor !== null)
    return plain('waiting', 'Waiting', `${withStop(run.waitingFor)} The run then goes on by itself.`);
  if (run.state === 'pausing') return plain('pausing', 'Pausing', `${doing}. The carriage stops after this step.`);
  if (run.state === 'paused') {
    return plain('paused', 'Paused', 'Press Enter to go on.', { label: 'Go on', act: 'resume' });
  }
  return plain('measuring', 'Measuring', `${doing}. Keep the guard closed.`);
}

/** `Close the guard and close the clamp`; null when everything holds or nothing is known. */
export function openLocks(rig: RigView | null): string | null {
  const locks = rig?.state === 'ready' ? rig.interlocks : null;
  if (locks === null || locks === undefined) return null;
  const steps = [
    locks.emergencyStopReleased ? null : 'release the emergency stop',
    locks.clampClosed ? null : 'close the clamp',
    locks.guardClosed ? null : 'close the guard',
  ].filter((step) => step !== null);
  if (steps.length === 0) return null;
  const text = steps.length === 1 ? steps.join('') : `${steps.slice(0, -1).join(', ')} and ${steps.at(-1)}`;
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function readiness(facts: BenchFacts): Part {
  const { rig } = facts;
  const openRig = { label: 'Go to Rig', act: 'openRig' } as const;
  if (rig === null || rig.state === 'absent') {
    const why = rig?.reason == null ? '' : `${withStop(rig.reason)} `;
    return plain('noRig', 'No rig', `${why}Connect a rig, or start the virtual rig: Enter opens Rig.`, openRig);
  }
  if (rig.state === 'connecting') {
    return plain('connecting', 'Connecting', `Waiting for the rig at ${rig.path ?? 'its port'} to answer.`);
  }
  if (rig.state === 'lost') {
    const why = rig.reason === null ? 'The line to the rig is lost.' : withStop(rig.reason);
    return plain('lineLost', 'Line lost', `${why} Check cable and power: the station reconnects by itself.`, openRig);
  }
  if (rig.state === 'refused') {
    return plain('refused', 'Refused', withStop(rig.reason ?? 'This rig does not fit the station'), openRig);
  }
  if (rig.calibrationState !== 'valid') {
    return plain(
      'notTrusted',
      'Not trusted',
      'A result would be void. Calibrate the station first: Enter opens Rig.',
      openRig,
    );
  }
  const missing = missingStep(facts);
  if (missing !== null) return { ...plain('notReady', 'Not ready', ''), ...missing };
  const [kind, word] =
    facts.next.state === 'misread' ? (['notReady', 'Not ready'] as const) : (['ready', 'Ready'] as const);
  return { ...plain(kind, word, ''), ...slipStep(facts) };
}

const withStop = (text: string): string => (/[.!?]$/.test(text.trim()) ? text.trim() : `${text.trim()}.`);

type Step = Pick<Headline, 'sentence' | 'main'>;

/** What must be on the slip before any piece can be measured; null when it is all there. */
function missingStep(facts: BenchFacts): Step | null {
  if (facts.operator === null) {
    return facts.hasOperators
      ? { sentence: 'Choose your initials on the slip.', main: null }
      : { sentence: 'Say who measures: Enter opens Settings.', main: { label: 'Add initials', act: 'openSettings' } };
  }
  if (!facts.hasLaws) {
    return {
      sentence: 'There is no law to measure against: Enter opens Laws.',
      main: { label: 'Go to Laws', act: 'openLaws' },
    };
  }
  return facts.lawId === null ? { sentence: 'Choose the law the fader is to follow.', main: null } : null;
}

/** From the serial to the key that starts. */
function slipStep(facts: BenchFacts): Step {
  const { next } = facts;
  if (facts.isStarting) return { sentence: 'The rig is being asked to begin.', main: null };
  if (next.state === 'typed') {
    return { sentence: 'Press Enter to take this serial.', main: { label: 'Take serial', act: 'take' } };
  }
  if (next.state === 'misread') {
    return { sentence: facts.serialProblem ?? 'This is no serial number.', main: { label: 'Mend it', act: 'scan' } };
  }
  if (next.state === 'empty') {
    return {
      sentence: 'Clamp a fader, close the guard, then scan its serial.',
      main: { label: 'Scan or type', act: 'scan' },
    };
  }
  const toClose = openLocks(facts.rig);
  const own = ownNumber(next.text);
  const start = { label: `Measure ${own}`, act: 'start' } as const;
  const before = wentBefore(own, facts.earlier);
  if (toClose !== null) return { sentence: `${before}${toClose}, then press Enter.`, main: start };
  const does = facts.isVirtual && next.state === 'offered' ? 'The virtual rig holds the fader. ' : '';
  return { sentence: `${before}${does}Press Enter to measure ${own}.`, main: start };
}
