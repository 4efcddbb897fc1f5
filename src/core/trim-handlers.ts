/** The commands of trimming, carried out by the station. */
import { NothingRunningError } from '../station/errors.ts';
import type { Handlers } from './server.ts';

type TrimCommand = Extract<keyof Handlers, `trim.${string}` | 'virtual.applyCuts' | 'virtual.cutLive'>;

export type TrimHandlers = Pick<Handlers, TrimCommand>;

export function makeTrimHandlers(): TrimHandlers {
  const later = (): never => {
    throw new NothingRunningError();
  };
  return {
    'trim.start': later,
    'trim.wait': later,
    'trim.piece': () => null,
    'trim.askCuts': later,
    'trim.cutsDone': later,
    'trim.end': later,
    'trim.batch': later,
    'trim.renewTool': later,
    'trim.needle.start': later,
    'trim.needle.stop': () => ({}),
    'trim.settings.read': later,
    'trim.settings.write': later,
    'virtual.applyCuts': later,
    'virtual.cutLive': later,
  };
}
