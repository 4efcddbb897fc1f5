import type { ReactElement } from 'react';
import type { Cut, CuttingRules } from '../../../../src/trim/trim.ts';
import { ticksBetween } from '../../../charts/travel-ticks.ts';
import { Film } from './Film.tsx';
import { placeOf } from './track-parts.ts';
import type { DrawnCut } from './trim-stage.ts';

interface LensProps {
  readonly cut: Cut;
  readonly cuts: readonly DrawnCut[];
  readonly rules: CuttingRules;
  readonly travelMm: number;
}

/** The lens in its own units: one unit is 0.1 mm, along and across alike. */
const unitsPerMm = 10;
const highMm = 8;
const beside = 18;
const rulerUnits = 24;

/** The place of one cut in its true shape: along and across at the same scale. */
export function Lens({ cut, cuts, rules, travelMm }: LensProps): ReactElement {
  const middleMm = Math.min(travelMm - highMm / 2, Math.max(highMm / 2, placeOf(cut)));
  const [fromMm, toMm] = [middleMm - highMm / 2, middleMm + highMm / 2];
  const y = (at: number): number => (toMm - at) * unitsPerMm;
  const wide = rules.widthMm * unitsPerMm;
  const rulerX = beside + wide + 6;
  const width = rulerX + rulerUnits;
  return (
    <svg className="lens" viewBox={`0 0 ${width} ${highMm * unitsPerMm}`} aria-hidden="true">
      <Film
        rules={rules}
        travelMm={travelMm}
        cuts={cuts}
        leftPx={beside}
        pxPerMmAcross={unitsPerMm}
        placePx={y}
        patternId="lens-hatch"
        hatch={4.5}
      />
      <line x1={rulerX} x2={rulerX} y1={y(fromMm)} y2={y(toMm)} className="tick-ten" />
      {ticksBetween(fromMm, toMm).map(({ travelMm: at }) => (
        <g key={at}>
          <line x1={rulerX} x2={rulerX + 4} y1={y(at)} y2={y(at)} className="tick-ten" />
          {at - fromMm > 0.4 && toMm - at > 0.4 && (
            <text x={rulerX + 6} y={y(at)} dy="0.35em" className="mm">
              {at}
            </text>
          )}
        </g>
      ))}
    </svg>
  );
}
