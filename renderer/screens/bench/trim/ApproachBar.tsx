import type { ReactElement } from 'react';
import { numberText } from '../../../format/numbers.ts';
import { type Approach, approachPlaces, ohmPlaces } from './approach.ts';

const marks = Array.from({ length: 25 }, (_, index) => index / 24);

/** The way of one cell to its target: clear until the stop line, grain up to the target, hatched beyond it. */
export function ApproachBar({ approach }: { readonly approach: Approach }): ReactElement {
  const { now, stop, target } = approachPlaces(approach);
  const places = ohmPlaces(approach.targetOhm);
  const text = (ohm: number): string => `${numberText(ohm, places)} Ω`;
  return (
    <div
      className="approach"
      role="progressbar"
      aria-label="Resistance of the cell on its way to the target"
      aria-valuemin={approach.startOhm}
      aria-valuemax={approach.targetOhm}
      aria-valuenow={approach.nowOhm ?? approach.startOhm}
      aria-valuetext={approach.nowOhm === null ? 'no reading' : text(approach.nowOhm)}
    >
      <div className="way">
        <span className="nearly" style={{ left: `${stop * 100}%`, width: `${(target - stop) * 100}%` }} />
        <span className="too-far" style={{ left: `${target * 100}%` }} />
        {now !== null && <span className="come" style={{ width: `${now * 100}%` }} />}
        <svg viewBox="0 0 1000 40" preserveAspectRatio="none" aria-hidden="true">
          {marks.map((share, index) => (
            <line key={share} x1={share * 1_000} x2={share * 1_000} y1={0} y2={index % 4 === 0 ? 32 : 18} />
          ))}
        </svg>
        <span className="target-line" style={{ left: `${target * 100}%` }} />
        <span className="stop-line" style={{ left: `${stop * 100}%` }} />
        {now !== null && <span className="index" style={{ left: `${now * 100}%` }} />}
      </div>
      <p className="ends">
        <span>
          <span className="engraved">Began at</span> {text(approach.startOhm)}
        </span>
        <span className="line-names">
          <span>
            <span className="engraved">Stop line</span> {text(approach.stopOhm)}
          </span>
          <span>
            <span className="engraved">Target</span> {text(approach.targetOhm)}
          </span>
        </span>
      </p>
    </div>
  );
}
