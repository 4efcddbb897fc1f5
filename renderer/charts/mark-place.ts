/** Where the shape of a verdict stands beside the reading it belongs to. Pure. */

export interface MarkRoom {
  /** Along the deviation axis, px: the reading, the axis' zero, and both ends of the drawing. */
  readonly readingPx: number;
  readonly zeroPx: number;
  readonly firstPx: number;
  readonly lastPx: number;
  /** From the reading to the middle of the shape, px. */
  readonly awayPx: number;
  /** Half the shape's size, px. */
  readonly halfPx: number;
  /** True: towards zero, where the slot is clear. False: away from it, off the curve. */
  readonly isInward: boolean;
}

/** The middle of the shape along the deviation axis, px; on the other side of the reading when there is no room. */
export function markMiddlePx(room: MarkRoom): number {
  const { readingPx, zeroPx, firstPx, lastPx, awayPx, halfPx, isInward } = room;
  const outward = readingPx < zeroPx ? -1 : 1;
  const wished = readingPx + (isInward ? -outward : outward) * awayPx;
  const fits = wished - halfPx >= firstPx && wished + halfPx <= lastPx;
  return fits ? wished : 2 * readingPx - wished;
}
