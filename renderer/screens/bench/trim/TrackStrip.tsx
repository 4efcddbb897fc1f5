import { memo, type ReactElement } from 'react';
import type { LawData } from '../../../../src/law/law.ts';
import type { CuttingRules } from '../../../../src/trim/trim.ts';
import { isZeroMark, placedMarks, ticksBetween } from '../../../charts/travel-ticks.ts';
import { placeOfTravel, type TravelFrame } from '../axis.ts';
import { Film } from './Film.tsx';
import { trackColumns } from './track-frame.ts';
import { placeOf, setApart } from './track-parts.ts';
import type { DrawnCut } from './trim-stage.ts';

interface TrackStripProps {
  readonly law: LawData;
  readonly rules: CuttingRules;
  readonly cuts: readonly DrawnCut[];
  /** Places where the wiper is read. */
  readonly tapsMm: readonly number[];
  readonly frame: TravelFrame;
  readonly textPx: number;
}

/** The opened fader: its printed marks, the film with cuts made and cuts to make, and a ruler from the closed end. */
export const TrackStrip = memo(function TrackStrip(props: TrackStripProps): ReactElement {
  const { law, rules, cuts, tapsMm, frame, textPx } = props;
  const columns = trackColumns(rules, textPx);
  const y = (travelMm: number): number => placeOfTravel(travelMm, law.travelMm, frame);
  return (
    <svg
      className="track-strip"
      width={columns.widthPx}
      height={frame.heightPx}
      viewBox={`0 0 ${columns.widthPx} ${frame.heightPx}`}
      aria-hidden="true"
    >
      {law.marks.map(({ text, travelMm }) => (
        <line
          key={travelMm}
          x1={columns.markFromPx}
          x2={columns.markToPx}
          y1={y(travelMm)}
          y2={y(travelMm)}
          className={isZeroMark(text) ? 'mark zero' : 'mark'}
        />
      ))}
      {placedMarks(law.marks, y, () => textPx * 1.2).map(({ text, travelMm, atPx, isZero }) => (
        <text key={travelMm} x={columns.markTextPx} y={atPx} dy="0.35em" className={isZero ? 'print zero' : 'print'}>
          {text}
        </text>
      ))}
      <Film
        rules={rules}
        travelMm={law.travelMm}
        cuts={cuts}
        leftPx={columns.filmFromPx}
        pxPerMmAcross={columns.pxPerMmAcross}
        placePx={y}
        patternId="track-hatch"
        hatch={9}
      />
      {tapsMm.map((travelMm) => (
        <line
          key={travelMm}
          x1={(columns.filmFromPx + columns.filmToPx) / 2 - 4}
          x2={(columns.filmFromPx + columns.filmToPx) / 2 + 4}
          y1={y(travelMm)}
          y2={y(travelMm)}
          className="tap"
        />
      ))}
      <Numbers side="left" {...props} />
      <Numbers side="right" {...props} />
      <Ruler law={law} y={y} atPx={columns.rulerPx} textAtPx={columns.rulerTextPx} />
    </svg>
  );
});

/** The numbers of one side's cuts that are still to be made, each beside its cut. */
function Numbers({
  law,
  rules,
  cuts,
  frame,
  textPx,
  side,
}: TrackStripProps & { readonly side: 'left' | 'right' }): ReactElement {
  const columns = trackColumns(rules, textPx);
  const isLeft = side === 'left';
  const shown = cuts.filter(({ cut, state }) => cut.side === side && (state === 'now' || state === 'later'));
  const places = setApart(
    shown.map(({ cut }) => ({
      number: cut.number,
      atPx: placeOfTravel(placeOf(cut), law.travelMm, frame),
    })),
    textPx * 1.05,
    textPx * 0.6,
    frame.heightPx - textPx * 0.6,
  );
  const atX = isLeft ? columns.leftNumberPx : columns.rightNumberPx;
  const edgeX = isLeft ? columns.filmFromPx : columns.filmToPx;
  return (
    <g className="cut-numbers">
      {places.map(({ number, atPx, labelPx }) => {
        const isNow = shown.some(({ cut, state }) => cut.number === number && state === 'now');
        return (
          <g key={number} className={isNow ? 'now' : ''}>
            <line x1={isLeft ? atX + 1 : atX - 1} y1={labelPx} x2={edgeX} y2={atPx} />
            <text x={atX} y={labelPx} dy="0.35em" className={isLeft ? 'at-left' : ''}>
              {number}
            </text>
          </g>
        );
      })}
    </g>
  );
}

interface RulerProps {
  readonly law: LawData;
  readonly y: (travelMm: number) => number;
  readonly atPx: number;
  readonly textAtPx: number;
}

/** Millimetres from the closed end. */
function Ruler({ law, y, atPx, textAtPx }: RulerProps): ReactElement {
  const ticks = ticksBetween(0, law.travelMm);
  return (
    <g className="mm-ruler">
      <line x1={atPx} x2={atPx} y1={y(0)} y2={y(law.travelMm)} className="tick-ten" />
      {ticks.map(({ travelMm, isTen }) => (
        <line
          key={travelMm}
          x1={atPx}
          x2={atPx + (isTen ? 14 : 7)}
          y1={y(travelMm)}
          y2={y(travelMm)}
          className={isTen ? 'tick-ten' : 'tick'}
        />
      ))}
      {ticks
        .filter(({ isTen }) => isTen)
        .map(({ travelMm }) => (
          <text key={travelMm} x={textAtPx} y={y(travelMm)} dy="0.35em" className="mm">
            {travelMm}
          </text>
        ))}
    </g>
  );
}
