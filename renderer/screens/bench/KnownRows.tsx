import type { ReactElement, ReactNode } from 'react';
import type { CheckRecord } from '../../../src/archive/records.ts';
import { livePointsStore } from '../../bridge/station.ts';
import { useStore } from '../../bridge/store.ts';
import { dash, numberText, signedText } from '../../format/numbers.ts';
import { checkNamed, liveWorst, recordedWorst, type WorstPlace } from './rows.ts';
import type { BenchView } from './use-bench.ts';
import { VerdictFigure } from './VerdictFigure.tsx';

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
    <>
      {text}
      {text !== dash && <span className="unit"> {unit}</span>}
    </>
  );
}

/** A check's value; its shape stands beside it when it is not a pass. */
function Check({
  check,
  places,
  scale,
  unit,
}: {
  readonly check: CheckRecord | null;
  readonly places: number;
  readonly scale: number;
  readonly unit: string;
}): ReactElement {
  if (check === null) return <>{dash}</>;
  const value = check.value === null ? null : check.value / scale;
  return (
    <>
      {check.zone !== 'pass' && (
        <>
          <VerdictFigure word={check.zone} />
          <span className="zone-word">{check.zone}</span>
        </>
      )}
      <Quantity text={numberText(value, places)} unit={unit} />
    </>
  );
}

const place = ({ travelMm, mark }: WorstPlace): string =>
  mark === null ? `${numberText(travelMm, 1)} mm` : `mark ${mark.replace('-', '−')}`;

/** The numbers that matter, always in the same rows; what is not known yet is a dash. */
export function KnownRows({ run, shown, law }: BenchView): ReactElement {
  const live = useStore(livePointsStore);
  const worst =
    law === null
      ? null
      : run !== null
        ? liveWorst(law, live)
        : shown !== null
          ? recordedWorst(law, shown.points, shown.summary.worstPointIndex)
          : null;
  const checks = shown?.checks ?? null;
  return (
    <dl>
      <Row name={run === null ? 'Worst point' : 'Worst so far'}>
        {worst === null ? dash : <Quantity text={signedText(worst.deviationDb, 2)} unit={`dB at ${place(worst)}`} />}
      </Row>
      <Row name="Limit there">
        {worst === null ? (
          dash
        ) : worst.limitDb === null ? (
          'none on that side'
        ) : (
          <Quantity text={signedText(worst.limitDb, 2)} unit="dB" />
        )}
      </Row>
      <Row name="U there, k = 2">
        <Quantity text={numberText(worst?.uncertaintyDb, 3)} unit="dB" />
      </Row>
      <Row name="Closed loss">
        <Check check={checkNamed(checks, 'closedLoss')} places={1} scale={1} unit="dB" />
      </Row>
      <Row name="Track">
        <Check check={checkNamed(checks, 'totalResistance')} places={2} scale={1_000} unit="kΩ" />
      </Row>
    </dl>
  );
}
