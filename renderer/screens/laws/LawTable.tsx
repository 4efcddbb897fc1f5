import type { ReactElement } from 'react';
import type { LawData } from '../../../src/law/law.ts';
import { markText } from '../../charts/travel-ticks.ts';
import { numberText } from '../../format/numbers.ts';

/** The points as they hang on the fader: open end at the top, as in the chart beside. */
export function LawTable({ law }: { readonly law: LawData }): ReactElement {
  const markOf = new Map(law.marks.map((mark) => [mark.travelMm, markText(mark.text)]));
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">Mark</th>
          <th scope="col">Travel, mm</th>
          <th scope="col">Loss, dB</th>
          <th scope="col">−dB</th>
          <th scope="col">+dB</th>
          <th scope="col">±mm</th>
        </tr>
      </thead>
      <tbody>
        {law.points.toReversed().map((point) => (
          <tr key={point.travelMm}>
            <td className="soft">{markOf.get(point.travelMm)}</td>
            <th scope="row">{numberText(point.travelMm, 2)}</th>
            <td>{numberText(point.lossDb, 2)}</td>
            <td>{numberText(point.minusDb, 2)}</td>
            <td>{point.plusDb === null ? 'any' : numberText(point.plusDb, 2)}</td>
            <td>{numberText(point.travelTolMm ?? 0, 2)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
