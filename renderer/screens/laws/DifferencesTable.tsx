import { type ReactElement, useMemo } from 'react';
import type { LawData } from '../../../src/law/law.ts';
import { ScrollArea } from '../../frame/ScrollArea.tsx';
import { differences } from './differences.ts';

/** Only what differs; the first is the chosen revision, the second the one laid over. */
export function DifferencesTable({
  first,
  second,
}: {
  readonly first: LawData;
  readonly second: LawData;
}): ReactElement {
  const rows = useMemo(() => differences(first, second), [first, second]);
  if (rows.length === 0) {
    return (
      <ScrollArea className="law-scroll" label="Differences">
        <p className="lead">Nothing differs.</p>
        <p className="soft">
          Revision {first.revision} and revision {second.revision} ask for the same in every point.
        </p>
      </ScrollArea>
    );
  }
  return (
    <ScrollArea className="law-scroll" label="Differences">
      <table className="law-differences">
        <caption className="engraved">
          {rows.length} {rows.length === 1 ? 'difference' : 'differences'}
        </caption>
        <thead>
          <tr>
            <th scope="col">What</th>
            <th scope="col">Rev. {first.revision}</th>
            <th scope="col">Rev. {second.revision}</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.what}>
              <th scope="row">{row.what}</th>
              <td>{row.first}</td>
              <td>{row.second}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </ScrollArea>
  );
}
