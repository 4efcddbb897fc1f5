/** Presses the violet key while a piece is trimmed. */
import { attempt } from '../../../bridge/station.ts';
import { press } from '../actions.ts';
import type { BenchView } from '../use-bench.ts';
import { doTrim } from './trim-actions.ts';
import type { TrimBench } from './use-trim.ts';

export function pressTrim({ idle }: BenchView, { headline: { main }, piece }: TrimBench): void {
  if (main === null) return;
  if (main.act !== 'next') {
    const { act } = main;
    void attempt(() => doTrim(act, piece));
  } else if (idle.main !== null) press(idle.main.act);
}
