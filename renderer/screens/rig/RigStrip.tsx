import { type ReactElement, useRef } from 'react';
import { numberText } from '../../format/numbers.ts';
import type { TravelSpan } from './travel-span.ts';

interface RigStripProps {
  /** Null = the rig's limits are not known yet. */
  readonly span: TravelSpan | null;
  /** Null = no fresh position. */
  readonly positionMm: number | null;
}

/** Drawn while the rig's own travel is not known. */
const usual: TravelSpan = { fromMm: 0, toMm: 110 };
const width = 184;
const height = 320;
const top = 14;
const slotX = 112;

/** The carriage on the rig's own travel: a bare slot, ticks every 10 mm, closed below. */
export function RigStrip({ span, positionMm }: RigStripProps): ReactElement {
  const { fromMm: from, toMm: to } = useSteadySpan(span) ?? usual;
  const placeOf = (mm: number): number => top + ((to - mm) / (to - from)) * (height - 2 * top);
  const ticks = Array.from(
    { length: Math.floor(to / 10) - Math.ceil(from / 10) + 1 },
    (_, i) => (Math.ceil(from / 10) + i) * 10,
  );
  const y = placeOf(Math.min(Math.max(positionMm ?? (from + to) / 2, from), to));
  return (
    <figure className="rig-strip">
      <figcaption>
        <span className="engraved">Position</span>
        <span className="value">
          {numberText(positionMm, 2)} <span className="unit">mm</span>
        </span>
      </figcaption>
      <svg viewBox={`0 0 ${width} ${height}`} preserveAspectRatio="xMidYMid meet" aria-hidden="true">
        <rect className="slot" x={slotX - 5} y={top - 6} width={10} height={height - 2 * top + 12} />
        {ticks.map((mm) => (
          <g key={mm} className={mm % 50 === 0 ? 'tick main' : 'tick'}>
            <path d={`M${slotX - (mm % 50 === 0 ? 30 : 22)} ${placeOf(mm)}H${slotX - 12}`} />
            {mm % 20 === 0 && (
              <text x={slotX - 38} y={placeOf(mm)} dominantBaseline="central" textAnchor="end">
                {mm}
              </text>
            )}
          </g>
        ))}
        <g className={positionMm === null ? 'carriage unknown' : 'carriage'}>
          <rect x={slotX - 26} y={y - 9} width={52} height={18} />
          {positionMm !== null && <path d={`M${slotX - 34} ${y}H${width}`} />}
        </g>
      </svg>
    </figure>
  );
}

/** The scale must not creep by a reading's last digit: it stays until it is wrong by something one can see. */
function useSteadySpan(span: TravelSpan | null): TravelSpan | null {
  const kept = useRef<TravelSpan | null>(null);
  const now = kept.current;
  if (
    span !== null &&
    (now === null || Math.abs(now.fromMm - span.fromMm) > 0.2 || Math.abs(now.toMm - span.toMm) > 0.2)
  )
    kept.current = span;
  return kept.current;
}
