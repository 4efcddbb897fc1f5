import type { ReactElement } from 'react';
import type { CheckRecord, RunRecord } from '../../../src/archive/records.ts';
import type { VerdictWord } from '../../../src/contract/state.ts';
import type { LawData } from '../../../src/law/law.ts';
import { numberText, sentenceText, signedText } from '../../format/numbers.ts';
import { VerdictShape } from './marks.tsx';
import { checkNames, limitText, limitThereDb, placeText, quantityText, worstPointOf } from './why.ts';

/** Why this word, in one look: the sentence, the worst point with its limit and U, and the checks. */
export function WhyStrip({ run, law }: { readonly run: RunRecord; readonly law: LawData | null }): ReactElement {
  const worst = worstPointOf(run);
  const limitDb = worst === null ? null : limitThereDb(worst);
  return (
    <section className="why-strip" aria-label="Why">
      <p className="why-sentence">{sentenceText(run.verdictReason)}</p>
      <dl>
        {worst === null ? (
          <Cell name="Worst point" value="Not measured" aside="no point was judged" zone="void" />
        ) : (
          <Cell
            name={`Worst: ${placeText(law, worst.travelMm)}`}
            value={`${signedText(worst.deviationDb, 2)} dB`}
            aside={`${limitDb === null ? 'no limit' : `limit ${signedText(limitDb, 2)}`}, U ${numberText(worst.uncertaintyDb, 2)}`}
            zone={worst.zone}
          />
        )}
        {run.checks.map((check) => (
          <CheckCell key={check.name} check={check} />
        ))}
      </dl>
    </section>
  );
}

function CheckCell({ check }: { readonly check: CheckRecord }): ReactElement {
  return (
    <Cell
      name={checkNames[check.name]}
      value={quantityText(check.value, check.unit)}
      aside={limitText(check)}
      zone={check.zone}
    />
  );
}

interface CellProps {
  readonly name: string;
  readonly value: string;
  readonly aside: string;
  readonly zone: VerdictWord;
}

function Cell({ name, value, aside, zone }: CellProps): ReactElement {
  return (
    <div>
      <dt className="engraved">{name}</dt>
      <dd>
        <VerdictShape verdict={zone} /> <b>{value}</b>
        <small>{aside}</small>
      </dd>
    </div>
  );
}
