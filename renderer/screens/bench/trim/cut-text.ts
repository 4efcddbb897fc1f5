/** A cut in words and figures, for the large instruction and for the list. Pure apart from the decimal sign. */
import type { Cut } from '../../../../src/trim/trim.ts';
import { numberText } from '../../../format/numbers.ts';

export interface CutText {
  readonly number: number;
  /** `Shave` or `Plunge` */
  readonly kind: string;
  /** Without its unit: `31.4` or `31.4 to 36.0`. */
  readonly placeMm: string;
  /** A plunge has no length. */
  readonly lengthMm: string | null;
  readonly depthMm: string;
  /** `Left` or `Right`, as drawn with the closed end at the bottom. */
  readonly side: string;
}

export const sideNames = { left: 'Left', right: 'Right' } as const;

export function cutText(cut: Cut): CutText {
  const rest = { number: cut.number, depthMm: numberText(cut.depthMm, 2), side: sideNames[cut.side] };
  return cut.kind === 'plunge'
    ? { ...rest, kind: 'Plunge', placeMm: numberText(cut.atMm, 1), lengthMm: null }
    : {
        ...rest,
        kind: 'Shave',
        placeMm: `${numberText(cut.fromMm, 1)} to ${numberText(cut.toMm, 1)}`,
        lengthMm: numberText(cut.toMm - cut.fromMm, 1),
      };
}

/** One cut as one sentence, for those who hear the screen and for the list's rows. */
export function cutSentence(cut: Cut): string {
  const { number, kind, placeMm, lengthMm, depthMm, side } = cutText(cut);
  const length = lengthMm === null ? '' : `, ${lengthMm} mm long`;
  return `Cut ${number}: ${kind.toLowerCase()} at ${placeMm} mm${length}, ${depthMm} mm deep, ${side.toLowerCase()} side`;
}
