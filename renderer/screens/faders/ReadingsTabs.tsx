import type { ReactElement } from 'react';
import type { ReadingRecord, RunRecord } from '../../../src/archive/records.ts';
import { numberText } from '../../format/numbers.ts';
import { ScrollArea } from '../../frame/ScrollArea.tsx';

const purposes: Readonly<Record<ReadingRecord['purpose'], string>> = {
  point: 'Point',
  closed: 'Closed',
  open: 'Open',
  totalResistance: 'Track',
};
const directions: Readonly<Record<ReadingRecord['direction'], string>> = {
  up: 'opening',
  down: 'closing',
  still: 'still',
};

interface Column {
  readonly name: string;
  readonly text: (reading: ReadingRecord) => string;
}

const what = (reading: ReadingRecord): string =>
  reading.pointIndex === null ? purposes[reading.purpose] : `Point ${reading.pointIndex + 1}`;

const common: readonly Column[] = [
  { name: 'For', text: what },
  { name: 'Knob', text: (reading) => directions[reading.direction] },
];

const calibrated: readonly Column[] = [
  ...common,
  { name: 'Asked, mm', text: ({ targetMm }) => numberText(targetMm, 2) },
  { name: 'Travel, mm', text: ({ travelMm }) => numberText(travelMm, 3) },
  { name: 'Ratio', text: ({ ratio }) => numberText(ratio, 6) },
  { name: 'Loss, dB', text: ({ lossDb }) => numberText(lossDb, 3) },
  { name: 'Note', text: ({ overRange }) => (overRange ? 'over range' : '') },
];

const raw: readonly Column[] = [
  ...common,
  { name: 'Position, µm', text: ({ positionUm }) => numberText(positionUm, 0) },
  { name: 'Wiper, counts', text: ({ wiperCounts }) => numberText(wiperCounts, 1) },
  { name: 'SD, counts', text: ({ wiperSdCounts }) => numberText(wiperSdCounts, 1) },
  { name: 'Track, counts', text: ({ trackCounts }) => numberText(trackCounts, 1) },
  { name: 'Conversions', text: ({ conversions }) => String(conversions) },
  { name: 'Integration, ms', text: ({ integrationUs }) => numberText(integrationUs / 1000, 1) },
  { name: 'Rig clock, s', text: ({ rigClockUs }) => numberText(rigClockUs / 1e6, 6) },
];

/** What was read, corrected by the calibration. A dash is a gap. */
export const ReadingsTab = ({ run }: { readonly run: RunRecord }): ReactElement => (
  <ReadingTable run={run} columns={calibrated} />
);

/** The same readings as the rig sent them. */
export const RawTab = ({ run }: { readonly run: RunRecord }): ReactElement => (
  <ReadingTable run={run} columns={raw} isDense />
);

function ReadingTable({
  run,
  columns,
  isDense = false,
}: {
  readonly run: RunRecord;
  readonly columns: readonly Column[];
  /** Many wide numbers: the rig clock alone grows by a digit within hours. */
  readonly isDense?: boolean;
}): ReactElement {
  if (run.readings.length === 0) {
    return (
      <div className="empty-part">
        <p className="lead">No reading was taken.</p>
        <p className="soft">{run.outcomeReason ?? 'The run ended before the first one.'}</p>
      </div>
    );
  }
  return (
    <ScrollArea className={isDense ? 'scroll-part is-dense' : 'scroll-part'} label="Readings">
      <table>
        <thead>
          <tr>
            <th scope="col">No.</th>
            {columns.map((column) => (
              <th key={column.name} scope="col">
                {column.name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {run.readings.map((reading) => (
            <tr key={reading.sequence}>
              <th scope="row">{reading.sequence}</th>
              {columns.map((column) => (
                <td key={column.name}>{column.text(reading)}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </ScrollArea>
  );
}
