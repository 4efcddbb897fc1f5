import { type ReactElement, useMemo, useRef, useState } from 'react';
import { livePointsStore } from '../../bridge/station.ts';
import { useStore } from '../../bridge/store.ts';
import { ChartCanvas } from '../../charts/ChartCanvas.tsx';
import { usePalette } from '../../charts/use-palette.ts';
import { numberText, signedText } from '../../format/numbers.ts';
import type { DeviationScale, TravelFrame } from './axis.ts';
import { deviationChart } from './deviation-chart.ts';
import { SerialText } from './SerialText.tsx';
import { Carriage, Strip } from './Strip.tsx';
import type { BenchView } from './use-bench.ts';
import { useHeight } from './use-height.ts';

interface TravelPaneProps extends BenchView {
  /** Stands at the right of the head. */
  readonly aside?: ReactElement;
}

const noPoints = [] as const;
const scaleNames: Readonly<Record<DeviationScale, string>> = { dB: 'dB', share: 'Share of limit' };

/** Fader and deviation on one upright axis, and the line from the carriage through both. */
export function TravelPane({ run, shown, law, piece, positionMm, aside }: TravelPaneProps): ReactElement {
  const live = useStore(livePointsStore);
  const palette = usePalette();
  const [scale, setScale] = useState<DeviationScale>('dB');
  const cell = useRef<HTMLDivElement>(null);
  const heightPx = useHeight(cell);
  const bottomPx = Math.round(palette.smallPx * 3.4);
  const frame = useMemo<TravelFrame>(() => ({ heightPx, topPx: 20, bottomPx }), [heightPx, bottomPx]);
  const livePoints = run === null ? noPoints : live;

  const config = useMemo(() => {
    if (law === null) return null;
    const index = shown?.summary.worstPointIndex ?? null;
    return deviationChart({
      law,
      live: livePoints,
      recorded: shown?.points ?? null,
      worst: shown === null || index === null ? null : { pointIndex: index, verdict: shown.summary.verdict },
      scale,
      palette,
      topPx: frame.topPx,
      bottomPx: frame.bottomPx,
    });
  }, [law, livePoints, shown, scale, palette, frame]);

  const worstDb = shown?.summary.worstDeviationDb ?? null;
  const label =
    law === null
      ? ''
      : `Deviation from the law ${law.id} against travel, ${shown?.points.length ?? livePoints.length} readings` +
        (worstDb === null ? '' : `, worst ${signedText(worstDb, 2)} dB`);
  return (
    <section className="travel" aria-label="Fader and deviation">
      <header>
        <div>
          <h2 className="value">
            {piece.serial === null ? <span className="soft">No piece yet</span> : <SerialText serial={piece.serial} />}
          </h2>
          <p className="soft">
            {law === null ? 'no law chosen' : `${law.id} revision ${law.revision}`}
            {piece.attempt !== null && `, attempt ${piece.attempt}`}
          </p>
        </div>
        <p className="position">
          <span className="engraved">Carriage</span>
          <span className="value">
            {numberText(positionMm, 2)}
            {positionMm !== null && <span className="unit"> mm</span>}
          </span>
        </p>
        {aside}
      </header>
      <div className="axis-cell" ref={cell}>
        {law === null || config === null || heightPx === 0 ? (
          <p className="lead soft">Choose a law on the slip; its fader is drawn here.</p>
        ) : (
          <>
            <Strip law={law} frame={frame} textPx={palette.smallPx} />
            <div className="deviation">
              <ChartCanvas config={config} label={label} />
              <p className="sides" aria-hidden="true">
                <span>louder</span>
                <span>quieter</span>
              </p>
            </div>
            <Carriage law={law} frame={frame} positionMm={positionMm} />
          </>
        )}
      </div>
      <fieldset className="scales">
        <legend className="engraved">Deviation in</legend>
        {(['dB', 'share'] as const).map((id) => (
          <label key={id}>
            <input type="radio" name="deviation-scale" checked={scale === id} onChange={() => setScale(id)} />
            <span>{scaleNames[id]}</span>
          </label>
        ))}
        <span className="engraved legend-marks">
          <span>▲ opening</span> <span>▽ closing</span>
        </span>
      </fieldset>
    </section>
  );
}
