import { type FormEvent, type ReactElement, useEffect, useState } from 'react';
import { callCore } from '../../bridge/calls.ts';
import { attempt, settingsStore } from '../../bridge/station.ts';
import { useStore } from '../../bridge/store.ts';
import { Choice } from './Choice.tsx';
import {
  type VirtualField,
  type VirtualWish,
  virtualFields,
  virtualProblems,
  virtualRequestFrom,
  virtualWish,
} from './virtual-wish.ts';

/** Starts the virtual rig: a model of carriage, meter and a batch of faders, all from one seed. */
export function VirtualForm(): ReactElement {
  const settings = useStore(settingsStore);
  const [wish, setWish] = useState<VirtualWish>(virtualWish);
  const [lawIds, setLawIds] = useState<readonly string[]>([]);
  const [isStarting, setIsStarting] = useState(false);
  useEffect(() => {
    void attempt(() => callCore('law.list', {})).then((laws) => {
      const ids = [...new Set((laws ?? []).map(({ data }) => data.id))];
      const last = settingsStore.get()?.lastLawId ?? null;
      setLawIds(ids);
      setWish((now) => ({ ...now, lawId: last !== null && ids.includes(last) ? last : (ids[0] ?? '') }));
    });
  }, []);

  const problems = virtualProblems(wish);
  const start = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    const request = virtualRequestFrom(wish);
    if (request === null) return;
    setIsStarting(true);
    await attempt(() => callCore('virtual.start', request));
    setIsStarting(false);
  };
  const set = (change: Partial<VirtualWish>): void => setWish((now) => ({ ...now, ...change }));

  return (
    <form className="virtual-form" onSubmit={(event) => void start(event)} noValidate>
      <header>
        <strong className="tape">
          <span>Virtual rig</span>
        </strong>
        <p>
          A model of the rig with a batch of faders in it. Everything works as with a real one; every result and every
          screen is marked as virtual. The same seed makes the same faders.
        </p>
      </header>
      <div className="fields">
        <label className="named">
          <span className="engraved">Law</span>
          <select value={wish.lawId} onChange={(event) => set({ lawId: event.target.value })}>
            {lawIds.map((id) => (
              <option key={id}>{id}</option>
            ))}
          </select>
        </label>
        {virtualFields.map((field) => (
          <NumberField
            key={field.key}
            field={field}
            text={wish[field.key]}
            problem={problems[field.key] ?? null}
            comma={settings?.decimalSign === 'comma'}
            onText={(text) => set({ [field.key]: text })}
          />
        ))}
        <Choice
          name="Tracks"
          options={['delivered', 'raw', 'trimming'] as const}
          chosen={wish.finish}
          onChoose={(finish) => set({ finish })}
          words={{ delivered: 'Trimmed', raw: 'Raw', trimming: 'To trim' }}
        />
      </div>
      <button
        type="submit"
        className="key main next"
        disabled={isStarting || Object.keys(problems).length > 0 || wish.lawId === ''}
      >
        {isStarting ? 'Starting' : 'Start the virtual rig'}
      </button>
    </form>
  );
}

interface NumberFieldProps {
  readonly field: VirtualField;
  readonly text: string;
  readonly problem: string | null;
  readonly comma: boolean;
  readonly onText: (text: string) => void;
}

function NumberField({ field, text, problem, comma, onText }: NumberFieldProps): ReactElement {
  return (
    <label className="named">
      <span className="engraved">{field.name}</span>
      <input
        inputMode="decimal"
        value={comma ? text.replace('.', ',') : text}
        aria-invalid={problem !== null}
        onChange={(event) => onText(event.target.value)}
      />
      <small className={problem === null ? 'soft' : 'problem'}>{problem ?? field.note}</small>
    </label>
  );
}
