import type { ReactElement } from 'react';
import type { VerdictWord } from '../../../src/contract/state.ts';
import { ShapeFigure } from '../../look/ShapeFigure.tsx';
import { verdictShapes } from './state-shapes.ts';

/** A verdict's shape in its colour; its word must stand beside it. */
export function VerdictFigure({ word }: { readonly word: VerdictWord }): ReactElement {
  return <ShapeFigure shape={verdictShapes[word]} className={`verdict-figure figure-${word}`} />;
}
