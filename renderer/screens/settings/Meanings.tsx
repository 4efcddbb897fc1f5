import type { ReactElement } from 'react';
import { Cautions } from '../../frame/Cautions.tsx';
import { VerdictWords } from './VerdictWords.tsx';

/** What every verdict word means, and the cautions; always in sight on this screen. */
export function Meanings(): ReactElement {
  return (
    <aside className="meanings">
      <h2>What the words mean</h2>
      <VerdictWords withRules={false} />
      <h2>Cautions</h2>
      <Cautions />
    </aside>
  );
}
