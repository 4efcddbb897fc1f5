/** The live needle's word, sentence and key. Pure. */
import type { NeedleReading } from '../../../../src/contract/trim.ts';

export type NeedleAct = 'openGuard' | 'startHand' | 'endHand' | 'done' | 'putAway';

export interface NeedleWords {
  readonly word: string;
  readonly sentence: string;
  /** Null while nothing can be done but wait. */
  readonly main: { readonly label: string; readonly act: NeedleAct } | null;
}

export interface NeedleFacts {
  readonly needle: NeedleReading;
  /** A virtual rig has a virtual hand. */
  readonly isVirtual: boolean;
  readonly isHandCutting: boolean;
  /** A hand works under the open guard, and it is still closed. */
  readonly isGuardToOpen: boolean;
}

export function needleWords({ needle, isVirtual, isHandCutting, isGuardToOpen }: NeedleFacts): NeedleWords {
  const { state, reason } = needle;
  if (state === 'ended') {
    return {
      word: 'Closed',
      sentence: reason ?? 'The needle is closed.',
      main: { label: 'Back to the cut', act: 'putAway' },
    };
  }
  if (needle.stop || state === 'stop') {
    return {
      word: 'Stop',
      sentence: needle.over
        ? 'The target is passed. Take the tool away now, then press Enter.'
        : 'Take the tool away now, then press Enter.',
      main: { label: 'Tool is away', act: 'done' },
    };
  }
  if (state === 'parking') {
    return { word: 'Parking', sentence: 'The carriage goes beside the cell. Keep the guard closed.', main: null };
  }
  if (state === 'waiting') {
    return {
      word: 'Waiting',
      sentence: `The carriage stands without motor power. ${reason ?? 'Keep the tool away a moment longer.'}`,
      main: isVirtual && isGuardToOpen ? { label: 'Open the virtual guard', act: 'openGuard' } : null,
    };
  }
  if (needle.nowOhm === null) {
    return { word: 'No reading', sentence: 'Take the tool away: the needle does not see the cell.', main: null };
  }
  if (isVirtual) {
    return {
      word: 'Live',
      sentence: isHandCutting ? 'The virtual hand cuts. Watch the mark.' : 'Enter lets the virtual hand cut.',
      main: isHandCutting
        ? { label: 'Take the hand away', act: 'endHand' }
        : { label: 'Virtual hand cuts', act: 'startHand' },
    };
  }
  return {
    word: 'Live',
    sentence: 'Cut until the mark reaches the stop line. Enter ends this cut earlier.',
    main: { label: 'This cut is done', act: 'done' },
  };
}
