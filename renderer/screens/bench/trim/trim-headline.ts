/** The large word and the one sentence while a piece is trimmed. Pure. */
import type { TrimPiece } from '../../../../src/contract/trim.ts';
import type { Headline } from '../headline.ts';
import { cutsLeft, openPass, planPass, type TrimStage } from './trim-stage.ts';
import type { CutsView } from './trim-state.ts';

export type TrimKind = TrimStage | 'settling';

/** What the violet key does with the piece. `next` = the piece is done with: what the slip offers comes next. */
export type TrimAct = 'askCuts' | 'cutMade' | 'allCutsMade' | 'measure' | 'next';

export interface TrimHeadline {
  readonly kind: TrimKind;
  readonly word: string;
  readonly sentence: string;
  /** Each readable by itself. */
  readonly reasons: readonly string[];
  /** Null while nothing can be done but wait. */
  readonly main: { readonly label: string; readonly act: TrimAct } | null;
}

export interface TrimFacts {
  readonly piece: TrimPiece;
  readonly stage: TrimStage;
  readonly view: CutsView;
  /** The cuts were made in front of this window; false = the station found the piece like this. */
  readonly isKnownHere: boolean;
  readonly settleLeftS: number;
  /** What has to be closed before the carriage may move, as a sentence's beginning; null = nothing. */
  readonly toClose: string | null;
  /** Why the newest measurement is void or outside; null = it passed, or it is not at hand. */
  readonly newest: { readonly isVoid: boolean; readonly reason: string } | null;
}

const plural = (count: number, one: string): string => `${count} ${count === 1 ? one : `${one}s`}`;
const passes = (count: number): string => (count === 1 ? '1 pass' : `${count} passes`);
const next = { label: 'Next piece', act: 'next' } as const;

export function trimHeadline(facts: TrimFacts): TrimHeadline {
  const { piece, stage } = facts;
  const say = (word: string, sentence: string, more: Partial<TrimHeadline> = {}): TrimHeadline => ({
    kind: stage,
    word,
    sentence,
    reasons: [],
    main: next,
    ...more,
  });
  switch (stage) {
    case 'sorting':
      return say('Sorting', 'Measured. The cuts are being planned.', { main: null });
    case 'unsorted':
      return say('Void', 'Nothing may be said of this piece, and nothing may be cut. Mend what the reason says.', {
        reasons: [piece.sentence],
        main: { label: 'Measure again', act: 'measure' },
      });
    case 'conforms':
      return say('Conforms', 'It follows its law as it is. Cut nothing; put it with the good ones.');
    case 'trimmable':
      return trimmable(facts);
    case 'cutting':
      return cutting(facts);
    case 'unmeasured':
      return unmeasured(facts);
    case 'accepted':
      return say('Accepted', `It follows its law after ${passes(piece.passes.length)}. Put it with the good ones.`);
    case 'ended':
      return say('Ended', 'Cut nothing more. Set it aside as rejected.', {
        reasons: piece.reasons.length > 0 ? piece.reasons.map(({ sentence }) => sentence) : [piece.sentence],
      });
    case 'hopeless':
      return say('Hopeless', 'No cut brings it in. Cut nothing; set it aside as rejected.', {
        reasons: piece.reasons.length > 0 ? piece.reasons.map(({ sentence }) => sentence) : [piece.sentence],
      });
  }
}

function trimmable({ piece, newest }: TrimFacts): TrimHeadline {
  const number = planPass(piece);
  const cuts = plural(piece.plan?.cuts.length ?? 0, 'cut');
  const done = piece.passes.length === 0 ? '' : `Pass ${piece.passes.length} is measured. `;
  return {
    kind: 'trimmable',
    word: 'Trimmable',
    sentence: `${done}Enter asks for the ${cuts} of pass ${number} of ${piece.passLimit} and takes motor power away.`,
    reasons: newest === null ? [] : [newest.reason],
    main: { label: `Begin pass ${number}`, act: 'askCuts' },
  };
}

function cutting({ piece, view }: TrimFacts): TrimHeadline {
  const left = cutsLeft(piece);
  const all = piece.plan?.cuts.length ?? 0;
  const pass = `pass ${piece.pass} of ${piece.passLimit}`;
  if (view === 'all') {
    return {
      kind: 'cutting',
      word: plural(left.length, 'cut'),
      sentence: `${left.length === all ? 'All' : 'What is left'} of ${pass}. Press Enter when every one of them is made.`,
      reasons: [],
      main: { label: 'All are made', act: 'allCutsMade' },
    };
  }
  return {
    kind: 'cutting',
    word: `Cut ${left[0]?.number ?? '–'}`,
    sentence: `${all - left.length + 1} of ${all} in ${pass}. Cut it, then press Enter.`,
    reasons: [],
    main: { label: left.length === 1 ? 'Last cut is made' : 'Cut is made', act: 'cutMade' },
  };
}

function unmeasured({ piece, isKnownHere, settleLeftS, toClose, newest }: TrimFacts): TrimHeadline {
  const cutNotMeasured = { kind: 'unmeasured', word: 'Unmeasured' } as const;
  const main = { label: 'Measure again', act: 'measure' } as const;
  const then = toClose === null ? 'Enter measures it again.' : `${toClose}, then Enter measures it again.`;
  const reasons = newest?.isVoid === true ? [`The newest measurement says nothing: ${newest.reason}`] : [];
  if (!isKnownHere) {
    return {
      ...cutNotMeasured,
      sentence: `Cut, not yet measured. Cut nothing now. ${then}`,
      reasons: [...reasons, brokenOff(piece)],
      main,
    };
  }
  const sentence = 'Cut, not yet measured. Take the dust off with the extraction';
  if (settleLeftS > 0) {
    return { kind: 'settling', word: 'Settling', sentence: `${sentence} and let the track cool.`, reasons, main: null };
  }
  return { ...cutNotMeasured, sentence: `${sentence}. ${then}`, reasons, main };
}

/** What is known of a pass that nobody at this window has seen. */
function brokenOff(piece: TrimPiece): string {
  const open = openPass(piece);
  const all = open?.plan.cuts.length ?? 0;
  const made = open?.cutsDone.length ?? 0;
  return made === all
    ? `Pass ${piece.pass} was cut, and the work was broken off before it was measured.`
    : `Pass ${piece.pass} was broken off: ${made} of ${all} cuts were reported as made, more may have been.`;
}

const standsStill: ReadonlySet<Headline['kind']> = new Set([
  'noRig',
  'connecting',
  'lineLost',
  'refused',
  'notTrusted',
  'notReady',
]);

/**
 * What the bench as a whole says to it: nothing is measured while the rig is away, and after a piece's end the slip's own key
 * comes next.
 * @param idle the Bench's headline without a verdict
 */
export function withBench(idle: Headline, trim: TrimHeadline): TrimHeadline {
  const act = trim.main?.act;
  if (act === 'next') {
    const label = idle.main?.label;
    return { ...trim, main: label === undefined ? null : { label, act } };
  }
  if (act !== 'measure' || !standsStill.has(idle.kind)) return trim;
  return {
    ...trim,
    reasons: [...trim.reasons, `${idle.word}: ${idle.sentence}`],
    main: idle.main === null ? null : { label: idle.main.label, act: 'next' },
  };
}
