/** The shape beside the large word, for every state of the Bench. */
import { type verdictOrder, verdictStyles } from '../../../src/verdict/words.ts';
import {
  measuringShape,
  openContactShape,
  pausedShape,
  readyShape,
  unknownContactShape,
} from '../../look/bench-shapes.ts';
import type { Shape } from '../../look/shape-part.ts';
import type { BenchKind } from './headline.ts';

const verdictShape = (word: (typeof verdictOrder)[number]): Shape => ({
  width: 16,
  height: 16,
  parts: verdictStyles[word].shape,
});

export const verdictShapes = {
  pass: verdictShape('pass'),
  doubt: verdictShape('doubt'),
  fail: verdictShape('fail'),
  void: verdictShape('void'),
} as const;

const scale = { path: 'M3 1.5V14.5M3 3.5H6M3 8H7.5M3 12.5H6', paint: 'stroke', strokeWidth: 1.5 } as const;

/** The index mark runs against a bar: what moves is brought to rest. */
const stoppingShape: Shape = {
  width: 16,
  height: 16,
  parts: [
    scale,
    { path: 'M14.5 4.5V11.5L11 8Z', paint: 'fill' },
    { path: 'M9.5 4V12', paint: 'stroke', strokeWidth: 1.75 },
  ],
};

/** The scale's own marks in doubt: dashed, because its numbers are not proved. */
const notTrustedShape: Shape = {
  width: 16,
  height: 16,
  parts: [{ path: 'M3 1.5V14.5M3 3.5H9M3 8H12.5M3 12.5H9', paint: 'stroke', strokeWidth: 1.5, dash: [1.8, 1.4] }],
};

export const stateShapes: Readonly<Record<BenchKind, Shape>> = {
  ...verdictShapes,
  coreAway: unknownContactShape,
  noRig: openContactShape,
  connecting: unknownContactShape,
  lineLost: openContactShape,
  refused: openContactShape,
  notTrusted: notTrustedShape,
  notReady: notTrustedShape,
  ready: readyShape,
  measuring: measuringShape,
  waiting: pausedShape,
  pausing: pausedShape,
  paused: pausedShape,
  stopping: stoppingShape,
};
