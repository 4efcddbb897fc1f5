import { type ReactElement, useMemo, useRef, useState } from 'react';
import type { TrimPiece } from '../../../../src/contract/trim.ts';
import type { CuttingRules } from '../../../../src/trim/trim.ts';
import { livePointsStore } from '../../../bridge/station.ts';
import { useStore } from '../../../bridge/store.ts';
import { ChartCanvas } from '../../../charts/ChartCanvas.tsx';
import { usePalette } from '../../../charts/use-palette.ts';
import type { DeviationScale, TravelFrame } from '../axis.ts';
import { deviationChart } from '../deviation-chart.ts';
import { Carriage } from '../Strip.tsx';
import { type ShownRun, shownRunStore } from '../shown-run.ts';
import type { BenchView } from '../use-bench.ts';
import { useHeight } from '../use-height.ts';
import { CutCautions } from './CutCautions.tsx';
import { PaneHead } from './PaneHead.tsx';
import { TrackStrip } from './TrackStrip.tsx';
import { tapsOf } from './track-parts.ts';
import { type DrawnCut, planPass, type TrimStage } from './trim-stage.ts';
import type { TrimBench } from './use-trim.ts';

interface TrimPaneProps {
  readonly bench: BenchView;
  readonly trim: TrimBench;
  readonly rules: CuttingRules;
}

const noPoints = [] as const;

/** Track and deviation on one upright axis: what is measured, what the cuts are expected to do. */
export function TrimPane({ bench, trim, rules }: TrimPaneProps): ReactElement {
  const { run, positionMm } = bench;
  const { piece, stage, cuts, law } = trim;
  const shown = newestShown(bench, piece, useStore(shownRunStore));
  const live = useStore(livePointsStore);
  const palette = usePalette();
  const [scale, setScale] = useState<DeviationScale>('dB');
  const cell = useRef<HTMLDivElement>(null);
  const heightPx = useHeight(cell);
  const bottomPx = Math.round(palette.smallPx * 3.4);
  const frame = useMemo<TravelFrame>(() => ({ heightPx, topPx: 20, bottomPx }), [heightPx, bottomPx]);
  const livePoints = run === null ? noPoints : live;
  const isPlanned = stage === 'trimmable' || stage === 'cutting';
  const expected = isPlanned && run === null ? (piece.plan?.points ?? null) : null;
  const taps = useMemo(() => tapsOf(piece.cells), [piece.cells]);

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
      ...(expected === null ? {} : { expected }),
    });
  }, [law, livePoints, shown, scale, palette, frame, expected]);

  return (
    <section className="travel trim-pane" aria-label="Track and deviation">
      <PaneHead serial={piece.serial} law={law} note={passNote(piece, stage)} />
      <div className="axis-cell track-cell" ref={cell}>
        {law === null || config === null || heightPx === 0 ? (
          law === null && <p className="lead soft">The law of this piece is not at hand yet.</p>
        ) : (
          <>
            <TrackStrip law={law} rules={rules} cuts={cuts} tapsMm={taps} frame={frame} textPx={palette.smallPx} />
            <div className="deviation">
              <ChartCanvas config={config} label={chartLabel(law.id, cuts, expected !== null)} />
              <p className="sides" aria-hidden="true">
                <span>louder</span>
                <span>quieter</span>
              </p>
            </div>
            {run !== null && <Carriage law={law} frame={frame} positionMm={positionMm} />}
          </>
        )}
      </div>
      {stage === 'cutting' ? (
        <CutCautions />
      ) : (
        <Legend
          scale={scale}
          onScale={setScale}
          hasPlan={expected !== null}
          measured={stage === 'unmeasured' && run === null ? 'before the cuts' : 'measured'}
        />
      )}
    </section>
  );
}

/** The piece's newest measurement; an older one, or another piece's, is not what the cuts are planned on. */
const newestShown = ({ run }: BenchView, piece: TrimPiece, shown: ShownRun | null): ShownRun | null =>
  run === null && shown !== null && shown.summary.runId === piece.runs.at(-1) ? shown : null;

const passNote = (piece: TrimPiece, stage: TrimStage): string => {
  if (stage === 'trimmable') return `pass ${planPass(piece)} of ${piece.passLimit} planned`;
  if (piece.pass === 0) return 'not cut';
  return `pass ${piece.pass} of ${piece.passLimit}`;
};

const count = (cuts: number): string => `${cuts} ${cuts === 1 ? 'cut' : 'cuts'}`;

const chartLabel = (lawId: string, cuts: readonly DrawnCut[], hasPlan: boolean): string => {
  const all = (...states: readonly DrawnCut['state'][]): number =>
    cuts.filter(({ state }) => states.includes(state)).length;
  const unsure = all('unsure');
  return (
    `Track of law ${lawId}, ${count(all('done'))} made and ${count(all('now', 'later'))} to make` +
    (unsure === 0 ? '' : `, ${count(unsure)} of which nobody knows`) +
    (hasPlan ? '; dashed what this pass is expected to give, with two standard deviations' : '')
  );
};

interface LegendProps {
  readonly scale: DeviationScale;
  readonly onScale: (scale: DeviationScale) => void;
  readonly hasPlan: boolean;
  /** What the ink line is. */
  readonly measured: string;
}

function Legend({ scale, onScale, hasPlan, measured }: LegendProps): ReactElement {
  return (
    <fieldset className="scales">
      <legend className="engraved">Deviation in</legend>
      {(['dB', 'share'] as const).map((id) => (
        <label key={id}>
          <input type="radio" name="deviation-scale" checked={scale === id} onChange={() => onScale(id)} />
          <span>{id === 'dB' ? 'dB' : 'Share'}</span>
        </label>
      ))}
      <span className="engraved legend-marks">
        <span>— {measured}</span>
        {hasPlan && <span className="expected">┅ expected, 2 sd</span>}
      </span>
    </fieldset>
  );
}
