import { type ReactElement, useMemo } from 'react';
import type { TrimBatch } from '../../../../src/contract/trim.ts';
import { useStore } from '../../../bridge/store.ts';
import { ChartCanvas } from '../../../charts/ChartCanvas.tsx';
import { usePalette } from '../../../charts/use-palette.ts';
import { durationText } from '../../../format/dates.ts';
import { dash, numberText } from '../../../format/numbers.ts';
import { ShapeFigure } from '../../../look/ShapeFigure.tsx';
import { chosenBatch } from '../job-slip.ts';
import { passRows, type SortRow, sortRows } from './batch-rows.ts';
import { gainChart } from './gain-trend.ts';
import { PaneChoice } from './PaneChoice.tsx';
import { useBatch } from './use-batch.ts';

/** How the batch goes: sorts, ends, passes, time, and what was learnt of the tool. */
export function BatchPane(): ReactElement {
  const name = useStore(chosenBatch).trim();
  const batch = useBatch(name);
  return (
    <section className="travel batch-pane" aria-label="Batch">
      <header>
        <div>
          <h2 className="value">{name === '' ? <span className="soft">No batch</span> : name}</h2>
          <p className="soft">{batch === null ? 'nothing trimmed yet' : counted(batch)}</p>
        </div>
        <PaneChoice />
      </header>
      {name === '' ? (
        <p className="lead soft nothing-yet">
          Type the batch on the slip. Its pieces, passes and what they teach of the tool then stand here.
        </p>
      ) : batch === null || batch.pieces.length === 0 ? (
        <p className="lead soft nothing-yet">
          Nothing of this batch is trimmed yet. Scan its first track; every piece then counts here.
        </p>
      ) : (
        <BatchFigures batch={batch} />
      )}
    </section>
  );
}

const counted = ({ pieces, done }: TrimBatch): string =>
  `${done} of ${pieces.length} ${pieces.length === 1 ? 'piece' : 'pieces'} done`;

function BatchFigures({ batch }: { readonly batch: TrimBatch }): ReactElement {
  const palette = usePalette();
  const chart = useMemo(() => gainChart(batch.gains, palette), [batch.gains, palette]);
  const last = batch.gains.at(-1);
  return (
    <>
      <div className="batch-values">
        <Figure name="First-pass share" text={percent(batch.firstPassShare)} />
        <Figure
          name="Time per piece, median"
          text={batch.medianTookMs === null ? dash : durationText(batch.medianTookMs)}
        />
        <Figure
          name="Tool gain"
          text={last === undefined ? dash : `${numberText(last.mean, 2)} ± ${numberText(2 * last.sd, 2)}`}
        />
      </div>
      <div className="batch-tables">
        <Counts name="Sorted and ended" rows={sortRows(batch)} />
        <Counts name="Accepted after" rows={passRows(batch)} />
      </div>
      <h3 className="engraved">Achieved over asked, each pass. Line: gain believed, 2 sd</h3>
      <div className="gain-chart">
        {batch.gains.length === 0 ? (
          <p className="soft">The first re-measurement after a cut begins this chart.</p>
        ) : (
          <ChartCanvas config={chart} label={gainLabel(batch)} />
        )}
      </div>
    </>
  );
}

const gainLabel = ({ gains }: TrimBatch): string => {
  const last = gains.at(-1);
  return `Gain of the tool over ${gains.length} passes, now ${numberText(last?.mean, 2)}`;
};

const percent = (share: number | null): string => (share === null ? dash : `${numberText(share * 100, 0)} %`);

function Figure({ name, text }: { readonly name: string; readonly text: string }): ReactElement {
  return (
    <p>
      <span className="engraved">{name}</span>
      <span className="value">{text}</span>
    </p>
  );
}

function Counts({ name, rows }: { readonly name: string; readonly rows: readonly SortRow[] }): ReactElement {
  return (
    <div className="counts">
      <h3 className="engraved">{name}</h3>
      <dl>
        {rows.map(({ word, count, shape }) => (
          <div key={word}>
            <dt>
              {shape !== null && <ShapeFigure shape={shape} className="count-shape" />}
              {word}
            </dt>
            <dd>{count}</dd>
          </div>
        ))}
      </dl>
    </div>
  );
}
