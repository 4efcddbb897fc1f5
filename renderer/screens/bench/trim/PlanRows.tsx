import type { ReactElement, ReactNode } from 'react';
import type { TrimPiece } from '../../../../src/contract/trim.ts';
import type { LawData } from '../../../../src/law/law.ts';
import { dash, numberText, signedText } from '../../../format/numbers.ts';
import { pointLimits, shareOf } from '../axis.ts';

interface PlanRowsProps {
  readonly piece: TrimPiece;
  readonly law: LawData | null;
}

/** What the planned pass is expected to do, in numbers. */
export function PlanRows({ piece, law }: PlanRowsProps): ReactElement | null {
  const { plan, belief } = piece;
  if (plan === null) return null;
  const worst = law === null ? null : worstExpected(law, plan.points);
  const trackOhm = piece.cells.reduce((sum, cell) => sum + cell.ohm, 0);
  return (
    <dl className="plan-rows">
      <Row name="Worst now">
        {worst === null ? (
          dash
        ) : (
          <Quantity text={signedText(worst.beforeDb, 2)} unit={`dB at ${numberText(worst.travelMm, 1)} mm`} />
        )}
      </Row>
      <Row name="Expected there">
        {worst === null ? (
          dash
        ) : (
          <Quantity text={`${signedText(worst.afterDb, 2)} ± ${numberText(2 * worst.sdDb, 2)}`} unit="dB" />
        )}
      </Row>
      <Row name="Track now, then">
        <Quantity text={`${numberText(trackOhm / 1_000, 2)}, ${numberText(plan.totalAfterOhm / 1_000, 2)}`} unit="kΩ" />
      </Row>
      <Row name="Cuts, film taken">
        <Quantity text={`${plan.cuts.length}, ${numberText(plan.removalMm2, 1)}`} unit="mm²" />
      </Row>
      <Row name="Share of the whole plan">
        <Quantity text={numberText(plan.share * 100, 0)} unit="%" />
      </Row>
      <Row name="Passes expected">{numberText(plan.passesExpected, 0)}</Row>
      <Row name="Chance of cutting too far">{riskText(plan.overCutRisk)}</Row>
      <Row name={`Gain of ${piece.toolId}`}>
        {numberText(belief.mean, 2)} ± {numberText(2 * belief.sd, 2)}
      </Row>
    </dl>
  );
}

function Row({ name, children }: { readonly name: string; readonly children: ReactNode }): ReactElement {
  return (
    <>
      <dt>{name}</dt>
      <dd>{children}</dd>
    </>
  );
}

function Quantity({ text, unit }: { readonly text: string; readonly unit: string }): ReactElement {
  return (
    <span>
      {text}
      <span className="unit"> {unit}</span>
    </span>
  );
}

const riskText = (risk: number): string => (risk < 0.0005 ? 'below 0.1 %' : `${numberText(risk * 100, 1)} %`);

interface Expected {
  readonly travelMm: number;
  readonly beforeDb: number;
  readonly afterDb: number;
  readonly sdDb: number;
}

/** The point that uses up most of its limit now, and what the pass is expected to make of it. */
function worstExpected(law: LawData, points: NonNullable<TrimPiece['plan']>['points']): Expected | null {
  const limits = pointLimits(law);
  let worst: Expected | null = null;
  let worstShare = -1;
  for (const { pointIndex, travelMm, deviationBeforeDb, deviationAfterDb, sdAfterDb } of points) {
    const edge = limits[pointIndex];
    if (edge === undefined) continue;
    const share = Math.abs(shareOf(deviationBeforeDb, edge));
    if (share <= worstShare) continue;
    worstShare = share;
    worst = { travelMm, beforeDb: deviationBeforeDb, afterDb: deviationAfterDb, sdDb: sdAfterDb };
  }
  return worst;
}
