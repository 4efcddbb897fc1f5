/**
 * A long trace to look through: drag, wheel, keys or arrow keys move along it and closer. Panning changes two numbers of
 * the chart and draws once a frame at most; React is not asked.
 */
import type { Chart } from 'chart.js';
import { type KeyboardEvent, type PointerEvent, type ReactElement, useEffect, useMemo, useRef, useState } from 'react';
import type { TraceRecord } from '../../src/archive/records.ts';
import type { LawMark } from '../../src/law/law.ts';
import { numberText } from '../format/numbers.ts';
import { ChartCanvas } from './ChartCanvas.tsx';
import './charts.css';
import { placesFor, traceChart } from './trace-chart.ts';
import {
  panned,
  type TraceAxis,
  type TravelOf,
  traceStretches,
  type View,
  viewAfterKey,
  zoomed,
} from './trace-stretches.ts';
import { usePalette } from './use-palette.ts';

export const panTiming = 'faderwright.trace-pan';

interface TraceViewProps {
  readonly trace: TraceRecord;
  readonly axis: TraceAxis;
  readonly travelOf: TravelOf;
  readonly fader: { readonly marks: readonly LawMark[]; readonly travelMm: number } | null;
  /** A place found in this trace, marked by the index line; null = none. */
  readonly foundAt?: number | null;
  readonly label: string;
}

export function TraceView({ trace, axis, travelOf, fader, foundAt = null, label }: TraceViewProps): ReactElement {
  const palette = usePalette();
  const ready = useMemo(() => traceStretches(trace, axis, travelOf), [trace, axis, travelOf]);
  const whole = useMemo<View>(
    () => ({ from: ready.xMin, to: ready.xMax > ready.xMin ? ready.xMax : ready.xMin + 1 }),
    [ready],
  );
  const view = useRef<View>(whole);
  const chart = useRef<Chart | null>(null);
  const frame = useRef(0);
  const [seen, setSeen] = useState(whole);
  const config = useMemo(() => {
    view.current = whole;
    return traceChart({
      trace: ready,
      axis,
      view: whole,
      yTitle: 'Share of the track voltage, %',
      fader: axis === 'travel' ? fader : null,
      foundAt,
      palette,
    });
  }, [ready, axis, whole, fader, foundAt, palette]);
  useEffect(() => setSeen(whole), [whole]);
  useEffect(() => () => cancelAnimationFrame(frame.current), []);

  const look = (next: View): void => {
    view.current = next;
    if (frame.current !== 0) return;
    frame.current = requestAnimationFrame(() => {
      frame.current = 0;
      draw();
    });
  };
  const draw = (): void => {
    const x = chart.current?.options.scales?.x;
    if (chart.current === null || x === undefined) return;
    const began = performance.now();
    x.min = view.current.from;
    x.max = view.current.to;
    chart.current.update('none');
    performance.clearMeasures(panTiming);
    performance.measure(panTiming, { start: began, end: performance.now(), detail: { samples: ready.samples } });
    setSeen(view.current);
  };
  const move = (share: number): void => look(panned(view.current, share, whole));
  const zoom = (factor: number, about?: number): void => look(zoomed(view.current, factor, whole, about));

  const drag = useRef<{ x: number; view: View } | null>(null);
  const onPointerMove = (event: PointerEvent): void => {
    if (drag.current === null || chart.current === null) return;
    const share = (drag.current.x - event.clientX) / Math.max(1, chart.current.chartArea.width);
    look(panned(drag.current.view, share, whole));
  };
  const onKeyDown = (event: KeyboardEvent): void => {
    const next = viewAfterKey(event.key, view.current, whole);
    if (next === null) return;
    event.preventDefault();
    look(next);
  };
  const unit = axis === 'time' ? 's' : 'mm';
  const places = placesFor(seen.to - seen.from) + 1;
  return (
    <div className="trace-view">
      <div className="trace-keys">
        <button type="button" className="key" onClick={() => zoom(0.5)}>
          Closer
        </button>
        <button type="button" className="key" onClick={() => zoom(2)}>
          Further
        </button>
        <button type="button" className="key" onClick={() => move(-0.5)} aria-label="Move left">
          ←
        </button>
        <button type="button" className="key" onClick={() => move(0.5)} aria-label="Move right">
          →
        </button>
        <button type="button" className="key" onClick={() => look(whole)}>
          Whole
        </button>
        <span className="seen" aria-live="polite">
          {numberText(seen.from, places)} to {numberText(seen.to, places)} {unit}
          <br />
          {ready.samples} samples, {ready.lost === 0 ? 'none lost' : `${ready.lost} lost on the line`}
        </span>
      </div>
      {/* biome-ignore lint/a11y/noStaticElementInteractions: the keys above do the same; this adds hand and arrow keys */}
      <div
        className="trace-place"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: arrow keys move along the trace
        tabIndex={0}
        onKeyDown={onKeyDown}
        onWheel={(event) => {
          const scale = chart.current?.scales.x;
          const left = event.currentTarget.getBoundingClientRect().left;
          zoom(event.deltaY > 0 ? 1.25 : 0.8, scale?.getValueForPixel(event.clientX - left));
        }}
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          drag.current = { x: event.clientX, view: view.current };
        }}
        onPointerMove={onPointerMove}
        onPointerUp={() => {
          drag.current = null;
        }}
        onPointerCancel={() => {
          drag.current = null;
        }}
      >
        <ChartCanvas
          config={config}
          label={label}
          onChart={(made) => {
            chart.current = made;
          }}
        />
      </div>
    </div>
  );
}
