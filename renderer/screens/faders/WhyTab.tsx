import type { ReactElement } from 'react';
import type { PointRecord, RunRecord } from '../../../src/archive/records.ts';
import type { LawData } from '../../../src/law/law.ts';
import { verdictStyles } from '../../../src/report/words.ts';
import { numberText, sentenceText, signedText } from '../../format/numbers.ts';
import { ScrollArea } from '../../frame/ScrollArea.tsx';
import { VerdictMark } from './marks.tsx';
import { bandText, checkNames, decidedBy, limitText, placeText, quantityText, shareOfLimit } from './why.ts';

/** Every point and check with its limits: what decided the word, and by which rule. */
export function WhyTab({ run, law }: { readonly run: RunRecord; readonly law: LawData | null }): ReactElement {
  const { points, checks } = decidedBy(run);
  return (
    <ScrollArea className="scroll-part why-part" label="Why this verdict">
      <p className="lead">{sentenceText(run.verdictReason)}</p>
      <p className="soft">
        {verdictStyles[run.verdict].rule} Here: {points} {points === 1 ? 'point' : 'points'}
        {checks.length > 0 && ` and ${checks.map((check) => checkNames[check.name].toLowerCase()).join(', ')}`}.
        {run.outcomeReason !== null && ` ${run.outcomeReason}`}
      </p>
      <table>
        <caption className="engraved">Checks</caption>
        <thead>
          <tr>
            <th scope="col">What</th>
            <th scope="col">Value</th>
            <th scope="col">Allowed</th>
            <th scope="col">U</th>
            <th scope="col" className="to-left">
              Zone
            </th>
            <th scope="col" className="to-left">
              Reason
            </th>
          </tr>
        </thead>
        <tbody>
          {run.checks.map((check) => (
            <tr key={check.name}>
              <th scope="row">{checkNames[check.name]}</th>
              <td>{quantityText(check.value, check.unit)}</td>
              <td>{limitText(check)}</td>
              <td>{quantityText(check.uncertainty, check.unit)}</td>
              <td>
                <VerdictMark verdict={check.zone} />
              </td>
              <td className="reason">{check.reason === null ? null : sentenceText(check.reason)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <table>
        <caption className="engraved">Points, deviation as measured loss minus law</caption>
        <thead>
          <tr>
            <th scope="col">Travel</th>
            <th scope="col">Law, dB</th>
            <th scope="col">Deviation, dB</th>
            <th scope="col">Allowed</th>
            <th scope="col">Share of limit</th>
            <th scope="col">U, dB</th>
            <th scope="col">Play, mm</th>
            <th scope="col" className="to-left">
              Zone
            </th>
          </tr>
        </thead>
        <tbody>
          {run.points.map((point) => (
            <PointRow
              key={point.pointIndex}
              point={point}
              law={law}
              isWorst={point.pointIndex === run.worstPointIndex}
            />
          ))}
        </tbody>
      </table>
    </ScrollArea>
  );
}

interface PointRowProps {
  readonly point: PointRecord;
  readonly law: LawData | null;
  readonly isWorst: boolean;
}

function PointRow({ point, law, isWorst }: PointRowProps): ReactElement {
  const share = shareOfLimit(point);
  return (
    <tr className={isWorst ? 'is-worst' : undefined}>
      <th scope="row">{placeText(law, point.travelMm)}</th>
      <td>{numberText(point.lawDb, 2)}</td>
      <td>{signedText(point.deviationDb, 3)}</td>
      <td>{bandText(point)}</td>
      <td>{share === null ? '–' : `${numberText(share * 100, 0)} %`}</td>
      <td>{numberText(point.uncertaintyDb, 3)}</td>
      <td>{numberText(point.playMm, 3)}</td>
      <td>
        <VerdictMark verdict={point.zone} />
        {point.reason !== null && <small className="reason">{sentenceText(point.reason)}</small>}
      </td>
    </tr>
  );
}
