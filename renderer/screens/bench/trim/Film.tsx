import type { ReactElement } from 'react';
import type { CuttingRules } from '../../../../src/trim/trim.ts';
import { type FilmPart, notchOf, trackParts } from './track-parts.ts';
import type { DrawnCut } from './trim-stage.ts';

interface FilmProps {
  readonly rules: CuttingRules;
  readonly travelMm: number;
  readonly cuts: readonly DrawnCut[];
  /** Left edge of the film, px. */
  readonly leftPx: number;
  readonly pxPerMmAcross: number;
  readonly placePx: (travelMm: number) => number;
  /** The pattern's id; two drawings on one screen must not share it. */
  readonly patternId: string;
  /** Distance of the hatch's lines, in the drawing's own units. */
  readonly hatch: number;
}

/** A plunge must be seen, however thin it is. */
const leastPx = 2.5;

/** Film, swath, margins, conductors and notches, closed end below. */
export function Film(props: FilmProps): ReactElement {
  const { rules, travelMm, cuts, leftPx, pxPerMmAcross, placePx, patternId, hatch } = props;
  const parts = trackParts(rules, travelMm);
  const box = ({ leftMm, rightMm, fromMm, toMm }: FilmPart) => {
    const tall = placePx(fromMm) - placePx(toMm);
    const height = Math.max(leastPx, tall);
    return {
      x: leftPx + leftMm * pxPerMmAcross,
      width: Math.max(leastPx, (rightMm - leftMm) * pxPerMmAcross),
      y: placePx(toMm) - (height - tall) / 2,
      height,
    };
  };
  const forbidden = [parts.swath, ...parts.margins];
  return (
    <g className="film">
      <defs>
        <pattern
          id={patternId}
          width="9"
          height="9"
          patternUnits="userSpaceOnUse"
          patternTransform={`scale(${hatch / 9})`}
        >
          <path d="M-1 1L1-1M0 9L9 0M8 10L10 8" className="hatch" />
        </pattern>
      </defs>
      <rect {...box(parts.film)} className="carbon" />
      {forbidden.map((part) => (
        <rect key={`${part.leftMm} ${part.fromMm}`} {...box(part)} fill={`url(#${patternId})`} />
      ))}
      <rect {...box(parts.swath)} className="swath" />
      {parts.conductors.map((part) => (
        <rect key={part.fromMm} {...box(part)} className="conductor" />
      ))}
      {cuts.map(({ key, cut, state }) => (
        <rect key={key} {...box(notchOf(cut, rules))} className={`notch ${state}`} />
      ))}
    </g>
  );
}
