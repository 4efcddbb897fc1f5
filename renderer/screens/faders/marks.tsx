/** Small figures of the screen: a verdict's shape, with or without its word, and a serial. */
import type { ReactElement } from 'react';
import type { VerdictWord } from '../../../src/contract/state.ts';
import { verdictStyles } from '../../../src/report/words.ts';
import { ShapeFigure } from '../../look/ShapeFigure.tsx';
import { serialParts } from './serial-parts.ts';

const words: Readonly<Record<VerdictWord, string>> = { pass: 'Pass', doubt: 'Doubt', fail: 'Fail', void: 'Void' };

/** The shape alone is for rows under a heading that names it; a screen reader hears the word. */
export function VerdictShape({ verdict }: { readonly verdict: VerdictWord }): ReactElement {
  return (
    <span className={`verdict-shape is-${verdict}`} role="img" aria-label={words[verdict]}>
      <ShapeFigure shape={{ width: 16, height: 16, parts: verdictStyles[verdict].shape }} />
    </span>
  );
}

export function VerdictMark({ verdict }: { readonly verdict: VerdictWord }): ReactElement {
  return (
    <span className={`verdict-mark is-${verdict}`}>
      <ShapeFigure shape={{ width: 16, height: 16, parts: verdictStyles[verdict].shape }} />
      <b>{words[verdict]}</b>
    </span>
  );
}

export function Serial({ serial }: { readonly serial: string }): ReactElement {
  const { shared, own } = serialParts(serial);
  return (
    <span className="serial">
      <span className="shared">{shared}</span>
      <span className="own">{own}</span>
    </span>
  );
}
