/**
 * Where a track was printed. Twelve tracks share a sheet in a herringbone: six rows of two, leaning to alternate
 * sides, so that neighbours point their closed ends in opposite directions and a slope of the sheet shows with
 * opposite signs.
 */
export interface SheetPosition {
  /** Sheet of the lot, 1, 2, 3 ... */
  readonly sheet: number;
  /** Place on the sheet, 1..12, row by row. */
  readonly place: number;
  /** Centre of the track on the sheet, -1..1 across and along. */
  readonly across: number;
  readonly along: number;
  /** +1 when the closed end points to the sheet's left edge, -1 when to the right. */
  readonly pointing: 1 | -1;
}

export const tracksPerSheet = 12;
const columns = 2;
const rows = tracksPerSheet / columns;

/** Position of the track with this running number (1, 2, 3 ...). @throws RangeError */
export function sheetPositionOf(running: number): SheetPosition {
  if (!Number.isInteger(running) || running < 1)
    throw new RangeError(`running number ${running} is not a whole number from 1 upward`);
  const inSheet = (running - 1) % tracksPerSheet;
  const row = Math.floor(inSheet / columns);
  const column = inSheet % columns;
  return {
    sheet: Math.floor((running - 1) / tracksPerSheet) + 1,
    place: inSheet + 1,
    across: column === 0 ? -0.5 : 0.5,
    along: ((row + 0.5) / rows) * 2 - 1,
    pointing: (row + column) % 2 === 0 ? 1 : -1,
  };
}

/** Smooth shapes over the sheet, each with mean 0 and mean square 1 over the twelve places. */
export function sheetShapes(position: SheetPosition): readonly [number, number, number] {
  const bowl = position.along ** 2;
  return [position.across / 0.5, position.along / Math.sqrt(35 / 108), (bowl - 35 / 108) / Math.sqrt(bowlVariance)];
}

// Mean square of `along` over rows at +-1/6, +-1/2, +-5/6 is 35/108; the variance of its square follows.
const bowlVariance = ((1 / 36) ** 2 + (1 / 4) ** 2 + (25 / 36) ** 2) / 3 - (35 / 108) ** 2;
