/** The counts of a batch as rows: word, shape, number. Pure. */
import type { TrimBatch } from '../../../../src/contract/trim.ts';
import type { Shape } from '../../../look/shape-part.ts';
import { trimShapes } from './trim-shapes-of.ts';

export interface SortRow {
  readonly word: string;
  readonly count: number;
  readonly shape: Shape | null;
}

/** Pieces by what became of them; together they are all pieces of the batch. */
export function sortRows({ passes, ends }: Pick<TrimBatch, 'passes' | 'ends'>): readonly SortRow[] {
  const afterCuts = passes.reduce((sum, { pieces }) => sum + pieces, 0);
  return [
    { word: 'Conform uncut', count: ends.accepted - afterCuts, shape: trimShapes.conforms },
    { word: 'Accepted after cuts', count: afterCuts, shape: trimShapes.accepted },
    { word: 'Hopeless', count: ends.hopeless, shape: trimShapes.hopeless },
    { word: 'Ended outside', count: ends.ended, shape: trimShapes.ended },
    { word: 'On the way', count: ends.open, shape: trimShapes.trimmable },
  ];
}

/** How many accepted pieces took one pass, two ...; a number of passes that nothing took stands as 0. */
export function passRows({ passes }: Pick<TrimBatch, 'passes'>): readonly SortRow[] {
  const most = passes.reduce((last, row) => Math.max(last, row.passes), 3);
  return Array.from({ length: most }, (_, index) => ({
    word: index === 0 ? '1 pass' : `${index + 1} passes`,
    count: passes.find((row) => row.passes === index + 1)?.pieces ?? 0,
    shape: null,
  }));
}
