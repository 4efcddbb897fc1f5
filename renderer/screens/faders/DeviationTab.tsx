import type { Chart } from 'chart.js';
import { type PointerEvent, type ReactElement, useMemo, useRef, useState } from 'react';
import type { RunRecord } from '../../../src/archive/records.ts';
import type { LawData } from '../../../src/law/law.ts';
import { useStore } from '../../bridge/store.ts';
import '../../charts/charts.css';
import { ChartCanvas } from '../../charts/ChartCanvas.tsx';
import { curveSet, nearestCurve } from '../../charts/curve-set.ts';
import { lyingDeviation } from '../../charts/lying-deviation.ts';
import { usePalette } from '../../charts/use-palette.ts';
import { laidOver } from './lay-over.ts';
import { Serial, VerdictMark } from './marks.tsx';
import { WhyStrip } from './WhyStrip.tsx';

interface DeviationTabProps {
  /** Null = only the curves laid over. */
  readonly run: RunRecord | null;
  readonly law: LawData | null;
}

/** The lying fader, the slot of the law, this run, and the runs laid over. */
export function DeviationTab({ run, law }: DeviationTabProps): ReactElement {
  const palette = usePalette();
  const laid = useStore(laidOver);
  const set = useMemo(() => {
    // Another law has other places and limits: its curves would say nothing here.
    const same = new Set(laid.runs.filter((other) => other.lawId === law?.id).map((other) => other.runId));
    return curveSet(laid.curves.filter((curve) => same.has(curve.runId) && curve.runId !== run?.runId));
  }, [laid, law, run]);
  const [pointed, setPointed] = useState<number | null>(null);
  const pointedNow = useRef<number | null>(null);
  const chart = useRef<Chart | null>(null);
  const config = useMemo(() => {
    pointedNow.current = null;
    return law === null
      ? null
      : lyingDeviation({
          law,
          points: run?.points ?? null,
          worstPointIndex: run?.worstPointIndex ?? null,
          set,
          palette,
          pointedAt: () => pointedNow.current,
        });
  }, [law, run, set, palette]);

  const point = (next: number | null): void => {
    if (next === pointedNow.current) return;
    pointedNow.current = next;
    setPointed(next);
    chart.current?.draw();
  };
  const onPointerMove = (event: PointerEvent): void => {
    const { x, y } = chart.current?.scales ?? {};
    if (x === undefined || y === undefined || set.count === 0) return;
    const box = event.currentTarget.getBoundingClientRect();
    const place = { x: event.clientX - box.left, y: event.clientY - box.top };
    const axes = {
      travel: { pxOf: (value: number) => x.getPixelForValue(value) },
      deviation: { pxOf: (value: number) => y.getPixelForValue(value) },
    };
    point(nearestCurve(set, place, axes));
  };
  const hidden = laid.runs.filter((other) => other.lawId !== law?.id).length;
  return (
    <div className="deviation-part">
      <p className="laid-note soft" aria-live="polite">
        {pointed !== null && pointed < set.count ? (
          <>
            <Serial serial={set.serials[pointed] ?? ''} /> <VerdictMark verdict={set.verdicts[pointed] ?? 'void'} />
          </>
        ) : laid.waiting > 0 ? (
          `Laying over: ${laid.waiting} still to be read`
        ) : set.count > 0 ? (
          `${set.count} laid over${hidden > 0 ? `, ${hidden} of another law left out` : ''}; point at a line to see whose it is`
        ) : (
          'Filled marks were read while opening, hollow ones while closing.'
        )}
      </p>
      <div className="deviation-chart" onPointerMove={onPointerMove} onPointerLeave={() => point(null)}>
        {config === null ? (
          <p className="soft">Reading the law.</p>
        ) : (
          <ChartCanvas
            config={config}
            label={run === null ? `${set.count} curves over the travel` : `Deviation of ${run.serial} over the travel`}
            onChart={(made) => {
              chart.current = made;
            }}
          />
        )}
      </div>
      {run !== null && <WhyStrip run={run} law={law} />}
    </div>
  );
}
