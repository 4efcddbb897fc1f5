/** The shape beside the large word, for every state of trimming. */
import { measuringShape } from '../../../look/bench-shapes.ts';
import type { Shape } from '../../../look/shape-part.ts';
import {
  conformsShape,
  cutShape,
  endedShape,
  hopelessShape,
  trimmableShape,
  unmeasuredShape,
} from '../../../look/trim-shapes.ts';
import { verdictShapes } from '../state-shapes.ts';
import type { TrimKind } from './trim-headline.ts';

export const trimShapes: Readonly<Record<TrimKind, Shape>> = {
  sorting: measuringShape,
  unsorted: verdictShapes.void,
  conforms: conformsShape,
  trimmable: trimmableShape,
  cutting: cutShape,
  settling: unmeasuredShape,
  unmeasured: unmeasuredShape,
  accepted: verdictShapes.pass,
  ended: endedShape,
  hopeless: hopelessShape,
};
