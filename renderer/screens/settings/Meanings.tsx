import type { ReactElement } from 'react';
import { verdictOrder, verdictStyles } from '../../../src/verdict/words.ts';
import { Cautions } from '../../frame/Cautions.tsx';
import { VerdictFigure } from '../bench/VerdictFigure.tsx';

/** What every verdict word means, and the cautions; always in sight on this screen. */
export function Meanings(): ReactElement {
  return (
    <aside className="meanings">
      <h2>What the words mean</h2>
      <dl className="words">
        {verdictOrder.map((word) => (
          <div key={word}>
            <dt>
              <VerdictFigure word={word} />
              <span>{word}</span>
            </dt>
            <dd>
              {verdictStyles[word].meaning} <span className="soft">{verdictStyles[word].rule}</span>
            </dd>
          </div>
        ))}
      </dl>
      <p className="soft">
        U is the expanded uncertainty of a reading (k = 2): the true value lies within U of what was read in about 95 of
        100 cases.
      </p>
      <h2>Cautions</h2>
      <Cautions />
    </aside>
  );
}
