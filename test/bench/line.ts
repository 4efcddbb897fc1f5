/** One figure of a benchmark. */
export interface BenchLine {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  /** Bound the figure must keep; null = for information. */
  readonly bound: number | null;
  readonly ok: boolean;
}

export const atMost = (name: string, value: number, unit: string, bound: number): BenchLine => ({
  name,
  value,
  unit,
  bound,
  ok: value <= bound,
});

export const told = (name: string, value: number, unit: string): BenchLine => ({
  name,
  value,
  unit,
  bound: null,
  ok: true,
});

export function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  const middle = sorted.length >> 1;
  const high = sorted[middle] ?? Number.NaN;
  return sorted.length % 2 === 1 ? high : ((sorted[middle - 1] ?? Number.NaN) + high) / 2;
}
