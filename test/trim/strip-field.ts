/**
 * The two-dimensional field in a strip of even film with cuts, by finite volumes: unit width, unit sheet resistance, the
 * two ends on conductors. Cells are squares; a cut is a face that carries nothing, a shave takes cells out. Solved
 * directly (banded Cholesky), so there is no iteration to stop too early.
 */
export type StripCut =
  /** Takes the film away from one edge. */
  | {
      readonly kind: 'shave';
      readonly side: 'left' | 'right';
      readonly from: number;
      readonly to: number;
      readonly depth: number;
    }
  /** Thin cut from one edge across the current. */
  | { readonly kind: 'plunge'; readonly side: 'left' | 'right'; readonly at: number; readonly depth: number }
  /** Thin cut along the current at a depth from the left edge. */
  | { readonly kind: 'leg'; readonly from: number; readonly to: number; readonly depth: number };

export interface StripField {
  /** Resistance between the conductors, squares. */
  readonly squares: number;
  /** Potential in squares (per unit of current) averaged over the middle `swath` of the width, at the middle of each column. */
  readonly middle: readonly { readonly along: number; readonly potential: number }[];
}

/** Every length in widths and a whole number of cells. */
export function solveStrip(
  length: number,
  cuts: readonly StripCut[],
  cellsPerWidth: number,
  swath = 0.375,
): StripField {
  const ny = cellsPerWidth;
  const nx = Math.round(length * cellsPerWidth);
  const grid = (value: number): number => {
    const cells = Math.round(value * cellsPerWidth);
    if (Math.abs(cells - value * cellsPerWidth) > 1e-6) throw new RangeError(`${value} is no whole number of cells`);
    return cells;
  };
  const gone = new Uint8Array(nx * ny);
  /** Face towards the next column, and towards the next row. */
  const shutX = new Uint8Array(nx * ny);
  const shutY = new Uint8Array(nx * ny);
  for (const cut of cuts) {
    const depth = grid(cut.depth);
    const rows = cut.kind !== 'leg' && cut.side === 'right' ? ([ny - depth, ny] as const) : ([0, depth] as const);
    if (cut.kind === 'shave')
      for (let x = grid(cut.from); x < grid(cut.to); x++) for (let y = rows[0]; y < rows[1]; y++) gone[x * ny + y] = 1;
    else if (cut.kind === 'plunge') for (let y = rows[0]; y < rows[1]; y++) shutX[(grid(cut.at) - 1) * ny + y] = 1;
    else for (let x = grid(cut.from); x < grid(cut.to); x++) shutY[x * ny + depth - 1] = 1;
  }
  const n = nx * ny;
  const band = ny + 1;
  // Row i holds columns i - ny .. i.
  const matrix = new Float64Array(n * band);
  const right = new Float64Array(n);
  const add = (i: number, j: number, value: number): void => {
    const [row, column] = i >= j ? [i, j] : [j, i];
    const at = row * band + (column - row + ny);
    matrix[at] = (matrix[at] ?? 0) + value;
  };
  const join = (i: number, j: number): void => {
    add(i, i, 1);
    add(j, j, 1);
    add(i, j, -1);
  };
  for (let x = 0; x < nx; x++)
    for (let y = 0; y < ny; y++) {
      const i = x * ny + y;
      if (gone[i]) {
        add(i, i, 1);
        continue;
      }
      if (x === 0 || x === nx - 1) add(i, i, 2);
      if (x === nx - 1) right[i] = 2;
      if (x + 1 < nx && !gone[i + ny] && !shutX[i]) join(i, i + ny);
      if (y + 1 < ny && !gone[i + 1] && !shutY[i]) join(i, i + 1);
    }
  const potential = solveBanded(matrix, right, n, ny);
  let current = 0;
  for (let y = 0; y < ny; y++) current += gone[y] ? 0 : 2 * (potential[y] ?? 0);
  const low = Math.round(((1 - swath) / 2) * ny);
  const middle = Array.from({ length: nx }, (_, x) => {
    let sum = 0;
    for (let y = low; y < ny - low; y++) sum += potential[x * ny + y] ?? 0;
    return { along: (x + 0.5) / cellsPerWidth, potential: sum / (ny - 2 * low) / current };
  });
  return { squares: 1 / current, middle };
}

/**
 * Squares that cuts add, extrapolated from two grids: the error of a cut's tip goes as the size of a cell, that of a
 * rectangular corner as its 4/3 power.
 */
export function addedByField(length: number, cuts: readonly StripCut[], cellsPerWidth: number): number {
  const order = cuts.every((cut) => cut.kind === 'shave') ? 4 / 3 : 1;
  const coarse = solveStrip(length, cuts, cellsPerWidth / 2).squares;
  const fine = solveStrip(length, cuts, cellsPerWidth).squares;
  return fine + (fine - coarse) / (2 ** order - 1) - length;
}

/** Cholesky within the band, then both triangles. Overwrites its arguments. */
function solveBanded(matrix: Float64Array, right: Float64Array, n: number, half: number): Float64Array {
  const band = half + 1;
  for (let i = 0; i < n; i++) {
    const row = i * band + half - i;
    const first = Math.max(0, i - half);
    for (let j = first; j <= i; j++) {
      const other = j * band + half - j;
      let sum = matrix[row + j] ?? 0;
      for (let k = Math.max(first, j - half); k < j; k++) sum -= (matrix[row + k] ?? 0) * (matrix[other + k] ?? 0);
      matrix[row + j] = j < i ? sum / (matrix[other + j] ?? 1) : Math.sqrt(sum);
    }
  }
  for (let i = 0; i < n; i++) {
    const row = i * band + half - i;
    let sum = right[i] ?? 0;
    for (let k = Math.max(0, i - half); k < i; k++) sum -= (matrix[row + k] ?? 0) * (right[k] ?? 0);
    right[i] = sum / (matrix[row + i] ?? 1);
  }
  for (let i = n - 1; i >= 0; i--) {
    const row = i * band + half - i;
    const value = (right[i] ?? 0) / (matrix[row + i] ?? 1);
    right[i] = value;
    for (let k = Math.max(0, i - half); k < i; k++) right[k] = (right[k] ?? 0) - (matrix[row + k] ?? 0) * value;
  }
  return right;
}
