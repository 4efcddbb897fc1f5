/** Readings on their way to a screen: a fast rig sends more of them than anyone can see or a busy screen can draw. */
import type { NeedleReadingView } from './trim-views.ts';

/** 25 a second, more than the reading's own noise lets an eye follow. */
const leastMs = 40;

/** @returns `tell`, held back between readings of one kind; what changes state, warns or loses its value is told at once */
export function paced(nowMs: () => number, tell: (reading: NeedleReadingView) => void): typeof tell {
  let last: { readonly kind: string; readonly atMs: number } | null = null;
  return (reading) => {
    const { state, reason, stop, over, nowOhm } = reading;
    const kind = JSON.stringify([state, reason, stop, over, nowOhm === null]);
    const atMs = nowMs();
    if (last !== null && last.kind === kind && atMs - last.atMs < leastMs) return;
    last = { kind, atMs };
    tell(reading);
  };
}
