import { memo, type ReactElement } from 'react';
import type { LawData } from '../../../src/law/law.ts';
import { isZeroMark, placedMarks, ticksBetween } from '../../charts/travel-ticks.ts';
import { placeOfTravel, type TravelFrame } from './axis.ts';

/** Horizontal places in the strip, in its own units (px). */
export const stripWidth = 184;
const slotLeft = 102;
const slotWidth = 14;
const slotRight = slotLeft + slotWidth;

interface StripProps {
  readonly law: LawData;
  readonly frame: TravelFrame;
  readonly textPx: number;
}

/** The fader as it stands on the bench: slot and printed scale. The carriage is drawn over it. */
export const Strip = memo(function Strip({ law, frame, textPx }: StripProps): ReactElement {
  const y = (travelMm: number): number => placeOfTravel(travelMm, law.travelMm, frame);
  const top = y(law.travelMm) - 8;
  const height = y(0) + 8 - top;
  return (
    <svg
      className="strip"
      width={stripWidth}
      height={frame.heightPx}
      viewBox={`0 0 ${stripWidth} ${frame.heightPx}`}
      aria-hidden="true"
    >
      <rect x={slotLeft} y={top} width={slotWidth} height={height} className="slot-cut" />
      {ticksBetween(0, law.travelMm).map(({ travelMm, isTen }) => (
        <line
          key={travelMm}
          x1={slotRight + 8}
          x2={slotRight + (isTen ? 22 : 14)}
          y1={y(travelMm)}
          y2={y(travelMm)}
          className={isTen ? 'tick-ten' : 'tick'}
        />
      ))}
      {ticksBetween(0, law.travelMm)
        .filter(({ travelMm }) => travelMm % 20 === 0)
        .map(({ travelMm }) => (
          <text key={travelMm} x={slotRight + 28} y={y(travelMm)} dy="0.35em" className="mm">
            {travelMm}
          </text>
        ))}
      {law.marks.map(({ text, travelMm }) => (
        <line
          key={travelMm}
          x1={slotLeft - 34}
          x2={slotLeft - 6}
          y1={y(travelMm)}
          y2={y(travelMm)}
          className={isZeroMark(text) ? 'mark zero' : 'mark'}
        />
      ))}
      {placedMarks(law.marks, y, () => textPx * 1.2).map(({ text, travelMm, atPx, isZero }) => (
        <text key={travelMm} x={slotLeft - 42} y={atPx} dy="0.35em" className={isZero ? 'print zero' : 'print'}>
          {text}
        </text>
      ))}
      {law.interpolation === 'stepped' &&
        law.points.map(({ travelMm }) => (
          <line
            key={travelMm}
            x1={slotLeft - 1}
            x2={slotRight + 1}
            y1={y(travelMm)}
            y2={y(travelMm)}
            className="contact-gap"
          />
        ))}
    </svg>
  );
});

/** The carriage and its line through the chart; dashed at the closed end while its place is not known. */
export function Carriage({
  law,
  frame,
  positionMm,
}: {
  readonly law: LawData;
  readonly frame: TravelFrame;
  readonly positionMm: number | null;
}): ReactElement {
  const y = placeOfTravel(Math.min(law.travelMm + 2, Math.max(-2, positionMm ?? 0)), law.travelMm, frame);
  // Parked beyond an end there is no law beside the carriage, and its line would cross the numbers of the axis.
  const isBeyond = positionMm !== null && (positionMm < 0 || positionMm > law.travelMm);
  const state = positionMm === null ? ' unknown' : isBeyond ? ' beyond' : '';
  return (
    <div className={`carriage${state}`} style={{ transform: `translateY(${y}px)` }}>
      <span className="bar" />
      <span className="wiper-line" />
    </div>
  );
}
