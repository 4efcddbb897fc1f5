import type { ReactElement } from 'react';
import { settingsStore } from '../../bridge/station.ts';
import { useStore } from '../../bridge/store.ts';
import { chosenBatch, chosenJob, chosenLaw, chosenOperator, type MeasuringJob } from './job-slip.ts';
import { LastPieces } from './LastPieces.tsx';
import { lawsStore, newestLaws } from './laws-at-hand.ts';
import { ScanField } from './ScanField.tsx';

const jobs: readonly { readonly id: MeasuringJob; readonly name: string }[] = [
  { id: 'measure', name: 'Measure' },
  { id: 'trim', name: 'Trim' },
  { id: 'goodsIn', name: 'Goods-in' },
  { id: 'retest', name: 'Retest' },
];

interface ChoiceProps {
  readonly name: string;
  readonly value: string | null;
  readonly options: readonly { readonly id: string; readonly name: string }[];
  readonly none: string;
  readonly onChoose: (id: string) => void;
}

function Choice({ name, value, options, none, onChoose }: ChoiceProps): ReactElement {
  return (
    <label className="slip-row">
      <span className="engraved">{name}</span>
      <select
        value={value ?? ''}
        onChange={(event) => {
          onChoose(event.currentTarget.value);
          // Otherwise the next Enter of the foot pedal would go into this list.
          event.currentTarget.blur();
        }}
      >
        {value === null && <option value="">{none}</option>}
        {options.map((option) => (
          <option key={option.id} value={option.id}>
            {option.name}
          </option>
        ))}
      </select>
    </label>
  );
}

/** The slip that travels with the piece: what it is, who measures, against what; below it the last pieces. */
export function Slip({ isMeasuring }: { readonly isMeasuring: boolean }): ReactElement {
  const operators = useStore(settingsStore)?.operators ?? [];
  const operator = useStore(chosenOperator);
  const laws = newestLaws(useStore(lawsStore) ?? []);
  const law = useStore(chosenLaw);
  const job = useStore(chosenJob);
  const batch = useStore(chosenBatch);
  return (
    <section className="slip" aria-label="Slip">
      <ScanField isMeasuring={isMeasuring} />
      <Choice
        name="Operator"
        value={operator}
        options={operators.map((initials) => ({ id: initials, name: initials }))}
        none="nobody yet"
        onChoose={(id) => chosenOperator.set(id)}
      />
      <Choice
        name="Law"
        value={law}
        options={laws.map(({ id, revision }) => ({ id, name: `${id} rev ${revision}` }))}
        none="none yet"
        onChoose={(id) => chosenLaw.set(id)}
      />
      <Choice name="Job" value={job} options={jobs} none="" onChoose={(id) => chosenJob.set(id as MeasuringJob)} />
      <label className="slip-row">
        <span className="engraved">Batch</span>
        <input
          type="text"
          value={batch}
          placeholder="none"
          autoComplete="off"
          spellCheck={false}
          maxLength={40}
          onChange={(event) => chosenBatch.set(event.currentTarget.value)}
        />
      </label>
      <LastPieces />
    </section>
  );
}
