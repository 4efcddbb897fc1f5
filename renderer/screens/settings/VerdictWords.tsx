import type { ReactElement } from 'react';
import { verdictOrder, verdictStyles } from '../../../src/verdict/words.ts';
import { VerdictFigure } from '../bench/VerdictFigure.tsx';

/** The four verdict words with shape and meaning, and on request the rule that gives each. */
export function VerdictWords({ withRules }: { readonly withRules: boolean }): ReactElement {
  return (
    <dl className="words">
      {verdictOrder.map((word) => (
        <div key={word}>
          <dt>
            <VerdictFigure word={word} />
            <span>{word}</span>
          </dt>
          <dd>
            {verdictStyles[word].meaning}
            {withRules && <span className="soft"> {verdictStyles[word].rule}</span>}
          </dd>
        </div>
      ))}
    </dl>
  );
}
