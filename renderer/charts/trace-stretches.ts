/**
 * A glide's samples made ready for a chart: split where the line lost samples, so that a gap stays a gap, and given as
 * travel or time. Pure.
 */
import type { TraceRecord } from '../../src/archive/records.ts';

export interface TracePlace {
  readonly x: number;
  readonly y: number;
}

export interface Trace {
  /** Stretches without a lost sample, each in rising x. */
  readonly stretches: readonly (readonly TracePlace[])[];
  readonly samples: number;
  /** Samples the line lost between the first and the last. */
  readonly lost: number;
  readonly xMin: number;
  readonly xMax: number;
  readonly yMin: number;
  readonly yMax: number;
}

export type TraceAxis = 'travel' | 'time';

/** Travel from a rig position; null = no calibration known, then the rig's own millimetres are shown. */
export type TravelOf = (positionUm: number) => number;

/**
 * @param axis what runs to the right: travel in mm, or time since the first sample in s
 * @returns y is the share of the track's voltage in percent
 */
export function traceStretches(trace: TraceRecord, axis: TraceAxis, travelOf: TravelOf): Trace {
  const { counter, positionUm, rigClockUs, wiperCounts, trackCounts, samplePeriodUs } = trace;
  const samples = counter.length;
  const startUs = rigClockUs[0] ?? 0;
  const stretches: TracePlace[][] = [];
  let open: TracePlace[] = [];
  let lost = 0;
  let [xMin, xMax] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  let [yMin, yMax] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (let at = 0; at < samples; at += 1) {
    const missing = at === 0 ? 0 : ((counter[at] ?? 0) - (counter[at - 1] ?? 0) - 1) >>> 0;
    if (missing > 0) {
      lost += missing;
      stretches.push(open);
      open = [];
    }
    const clockUs = rigClockUs[at] ?? startUs + at * samplePeriodUs;
    const x = axis === 'time' ? (clockUs - startUs) / 1e6 : travelOf(positionUm[at] ?? Number.NaN);
    const y = trackCounts > 0 ? ((wiperCounts[at] ?? Number.NaN) / trackCounts) * 100 : Number.NaN;
    open.push({ x, y });
    if (x < xMin) xMin = x;
    if (x > xMax) xMax = x;
    if (y < yMin) yMin = y;
    if (y > yMax) yMax = y;
  }
  stretches.push(open);
  const whole = stretches.filter((stretch) => stretch.length > 0).map(rising);
  return { stretches: whole, samples, lost, xMin, xMax, yMin, yMax };
}

/** True when the carriage went one way all the time, so that travel can be an axis. */
export function isOneWay(positionUm: Int32Array): boolean {
  let sense = 0;
  for (let at = 1; at < positionUm.length; at += 1) {
    const step = Math.sign((positionUm[at] ?? 0) - (positionUm[at - 1] ?? 0));
    if (step === 0) continue;
    if (sense !== 0 && step !== sense) return false;
    sense = step;
  }
  return sense !== 0;
}

/** Decimation and the search for what is in view need rising x; a closing glide runs the other way. */
function rising(stretch: readonly TracePlace[]): readonly TracePlace[] {
  const [first, last] = [stretch[0], stretch.at(-1)];
  return first !== undefined && last !== undefined && first.x > last.x ? stretch.toReversed() : stretch;
}

/** What is seen of an axis. */
export interface View {
  readonly from: number;
  readonly to: number;
}

/** Moves the view by a share of its own width, and not beyond the data. */
export function panned(view: View, share: number, whole: View): View {
  const width = view.to - view.from;
  const wished = view.from + width * share;
  const from = Math.min(Math.max(wished, whole.from), Math.max(whole.from, whole.to - width));
  return { from, to: from + width };
}

/** Factor < 1 looks closer. `about` stays where it is on the screen. Never wider than the data, never under a millionth of it. */
export function zoomed(view: View, factor: number, whole: View, about = (view.from + view.to) / 2): View {
  const most = whole.to - whole.from;
  const width = Math.min(most, Math.max(most * 1e-5, (view.to - view.from) * factor));
  const share = (about - view.from) / (view.to - view.from);
  const from = Math.min(Math.max(about - share * width, whole.from), whole.to - width);
  return { from, to: from + width };
}

/** Left and right move, up and down look closer and further, Home shows all; null = the key means nothing here. */
export function viewAfterKey(key: string, view: View, whole: View): View | null {
  if (key === 'ArrowLeft') return panned(view, -0.2, whole);
  if (key === 'ArrowRight') return panned(view, 0.2, whole);
  if (key === 'ArrowUp') return zoomed(view, 0.5, whole);
  if (key === 'ArrowDown') return zoomed(view, 2, whole);
  return key === 'Home' ? whole : null;
}
