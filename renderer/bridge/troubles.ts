/** The failures a person has to read, and when one has had its day. Pure. */
import type { ErrorData } from '../../src/contract/errors.ts';

export interface Trouble {
  readonly id: number;
  readonly error: ErrorData;
  /** What was tried, as `actionOf` names it; null = nothing was: the station told of it by itself. */
  readonly action: string | null;
}

/** More than this at once nobody reads. */
const mostTroubles = 5;

/** Of these only the last outcome counts, whatever they were asked with; those of one word stand for one another. */
const stationActions: Readonly<Record<string, string>> = {
  'rig.connect': 'a rig',
  'virtual.start': 'a rig',
  'run.start': 'a run',
  'trim.start': 'a run',
  'trim.needle.start': 'the needle',
  'trim.needle.stop': 'the needle',
  'rig.home': 'a move',
  'rig.park': 'a move',
  'rig.creep': 'a move',
  'virtual.interlocks': 'the interlocks',
  'rig.storeCalibration': 'a certificate',
};

/** Two calls are the same action when one's success makes the other's failure old news. */
export const actionOf = (command: string, input: unknown): string =>
  stationActions[command] ?? `${command} ${JSON.stringify(input)}`;

/** The newest last. What is tried again and fails the same way is told once. */
export function withTrouble(now: readonly Trouble[], trouble: Trouble): readonly Trouble[] {
  const isSame = ({ action, error }: Trouble): boolean =>
    action !== null && action === trouble.action && error.message === trouble.error.message;
  return [...now.filter((other) => !isSame(other)).slice(1 - mostTroubles), trouble];
}

/** Without those of an action that has now succeeded. */
export const withoutAction = (now: readonly Trouble[], action: string): readonly Trouble[] =>
  now.some((trouble) => trouble.action === action) ? now.filter((trouble) => trouble.action !== action) : now;
