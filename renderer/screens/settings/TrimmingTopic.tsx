import { type FormEvent, type ReactElement, useEffect, useState } from 'react';
import type { TrimSettings } from '../../../src/contract/trim.ts';
import { callCore } from '../../bridge/calls.ts';
import { attempt, lifeStore } from '../../bridge/station.ts';
import { useStore } from '../../bridge/store.ts';
import { chosenOperator } from '../bench/job-slip.ts';
import { Options } from './Options.tsx';
import { type TrimWish, trimProblem, trimSettingsFrom, trimWishOf } from './trim-wish.ts';

const tools: readonly { readonly id: TrimSettings['toolKind']; readonly name: string; readonly note: string }[] = [
  { id: 'mill', name: 'Mill', note: 'cuts behind the closed guard' },
  { id: 'abrasive', name: 'Abrasive jet', note: 'cuts behind the closed guard' },
  { id: 'hand', name: 'Hand blade', note: 'cuts under the open guard, without motor power' },
];

/** The tool that cuts, how often a piece may be cut, and how long it rests before it is measured. */
export function TrimmingTopic(): ReactElement | null {
  const isCoreThere = useStore(lifeStore).state === 'running';
  const [settings, setSettings] = useState<TrimSettings | null>(null);
  useEffect(() => {
    if (!isCoreThere) return;
    void attempt(() => callCore('trim.settings.read', {})).then(setSettings);
  }, [isCoreThere]);
  if (settings === null) return null;
  const write = async (change: Partial<TrimSettings>): Promise<void> => {
    const written = await attempt(() => callCore('trim.settings.write', change));
    if (written !== null) setSettings(written);
  };
  return (
    <>
      <Options
        name="Tool"
        says="How it cuts decides what is believed of it at first, and where the guard must be under the live needle."
        value={settings.toolKind}
        options={tools}
        onChoose={(toolKind) => void write({ toolKind })}
      />
      <Limits key={JSON.stringify(settings)} settings={settings} onKeep={(change) => void write(change)} />
      <NewBlade settings={settings} />
      <p className="trim-words">
        <strong>Conforms</strong>: it follows its law uncut. <strong>Trimmable</strong>: cuts can bring it in.{' '}
        <strong>Hopeless</strong>: none can, and the reason stands below the word. <strong>Unmeasured</strong>: it was
        or may have been cut since it was measured, so only measuring may follow. <strong>Accepted</strong>: it was
        brought in. <strong>Ended</strong>: it was not, and another pass would be one try too many.
      </p>
    </>
  );
}

interface LimitsProps {
  readonly settings: TrimSettings;
  readonly onKeep: (change: Partial<TrimSettings>) => void;
}

function Limits({ settings, onKeep }: LimitsProps): ReactElement {
  const [wish, setWish] = useState<TrimWish>(trimWishOf(settings));
  const problem = trimProblem(wish);
  const keep = (event: FormEvent): void => {
    event.preventDefault();
    const change = trimSettingsFrom(wish);
    if (change !== null) onKeep(change);
  };
  const field = (key: keyof TrimWish, name: string): ReactElement => (
    <label>
      <span className="engraved">{name}</span>
      <input
        type="text"
        value={wish[key]}
        autoComplete="off"
        spellCheck={false}
        maxLength={40}
        onChange={(event) => {
          const text = event.currentTarget.value;
          setWish((now) => ({ ...now, [key]: text }));
        }}
      />
    </label>
  );
  return (
    <form className="trim-limits" onSubmit={keep}>
      {field('toolId', 'Name of the tool')}
      {field('passLimit', 'Passes a piece may have')}
      {field('settleS', 'Settling before measuring, s')}
      {field('riskPercent', 'Chance of cutting too far, at most %')}
      <p className="problem" role="alert">
        {problem}
      </p>
      <button type="submit" className="key" disabled={problem !== null}>
        Keep
      </button>
    </form>
  );
}

/** What was learnt of a worn blade does not hold for a fresh one. */
function NewBlade({ settings: { toolId, toolKind } }: { readonly settings: TrimSettings }): ReactElement {
  const operator = useStore(chosenOperator);
  const [isSaid, setIsSaid] = useState(false);
  const renew = async (): Promise<void> => {
    const order = { toolId, toolKind, operator: operator ?? '', reason: 'New blade or setting.' };
    if ((await attempt(() => callCore('trim.renewTool', order))) !== null) setIsSaid(true);
  };
  return (
    <div className="new-blade">
      <p className="soft" role="status">
        {isSaid
          ? `Nothing that was learnt of ${toolId} counts any more. The next pieces begin with caution.`
          : 'A new blade, grain or setting under the same name begins anew, with caution.'}
      </p>
      <button type="button" className="key" disabled={operator === null} onClick={() => void renew()}>
        Blade is new
      </button>
    </div>
  );
}
