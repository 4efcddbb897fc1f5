import { type ReactElement, useEffect, useState } from 'react';
import type { CommandOutput } from '../../../src/contract/commands.ts';
import type { LawData } from '../../../src/law/law.ts';
import { callCore } from '../../bridge/calls.ts';
import { attempt } from '../../bridge/station.ts';
import { dateText } from '../../format/dates.ts';
import { numberText } from '../../format/numbers.ts';
import { ScrollArea } from '../../frame/ScrollArea.tsx';
import { DifferencesTable } from './DifferencesTable.tsx';
import { LawTable } from './LawTable.tsx';
import { beginEdit, saveAsFile } from './law-actions.ts';

type Use = CommandOutput<'law.whereUsed'>;

function useWhereUsed(law: LawData): Use | null {
  const [use, setUse] = useState<Use | null>(null);
  const { id, revision } = law;
  useEffect(() => {
    let isCurrent = true;
    setUse(null);
    void attempt(() => callCore('law.whereUsed', { id, revision })).then((answer) => {
      if (isCurrent) setUse(answer);
    });
    return () => {
      isCurrent = false;
    };
  }, [id, revision]);
  return use;
}

function useText(use: Use | null): string {
  if (use === null) return 'Looking where it was used.';
  if (use.runs === 0) return 'Nothing was measured against it yet.';
  const when =
    use.firstStartedAt === null || use.lastStartedAt === null
      ? ''
      : `, ${dateText(use.firstStartedAt)} to ${dateText(use.lastStartedAt)}`;
  return `Used by ${use.runs} ${use.runs === 1 ? 'run' : 'runs'} of ${use.serials} ${use.serials === 1 ? 'fader' : 'faders'}${when}.`;
}

/** A kept revision: its numbers, where it was used, and what can be made of it. */
export function LawPanel({ law, second }: { readonly law: LawData; readonly second: LawData | null }): ReactElement {
  const use = useWhereUsed(law);
  const key = { id: law.id, revision: law.revision };
  return (
    <section className="law-panel" aria-label="Numbers">
      {second === null ? <LawNumbers law={law} /> : <DifferencesTable first={law} second={second} />}
      <p className="soft law-use">{useText(use)}</p>
      <div className="pair">
        <button type="button" className="key" onClick={() => void saveAsFile(key, 'json')}>
          Save as law file
        </button>
        <button type="button" className="key" onClick={() => void saveAsFile(key, 'csv')}>
          Save points
        </button>
      </div>
      <button type="button" className="key main next" onClick={beginEdit}>
        Write the next revision
      </button>
    </section>
  );
}

function LawNumbers({ law }: { readonly law: LawData }): ReactElement {
  const { nominalOhm, toleranceFraction } = law.resistance;
  return (
    <ScrollArea className="law-scroll" label="Numbers of the law">
      <dl className="law-facts">
        <Fact name="Track" value={`${numberText(nominalOhm, 0)} ohm ±${numberText(toleranceFraction * 100, 0)} %`} />
        <Fact name="Open loss, at most" value={`${numberText(law.openMaxLossDb, 2)} dB`} />
        <Fact name="Stated for" value={law.loadOhm === null ? 'no load' : `${numberText(law.loadOhm, 0)} ohm load`} />
        <Fact
          name="Play, at most"
          value={law.limits.maxPlayMm === undefined ? 'no limit' : `${numberText(law.limits.maxPlayMm, 2)} mm`}
        />
        <Fact name="Between points" value={law.interpolation === 'stepped' ? 'contacts' : 'straight in dB'} />
      </dl>
      <LawTable law={law} />
    </ScrollArea>
  );
}

const Fact = ({ name, value }: { readonly name: string; readonly value: string }): ReactElement => (
  <div>
    <dt>{name}</dt>
    <dd>{value}</dd>
  </div>
);
