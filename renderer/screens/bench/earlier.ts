/** What is known of a piece from its earlier runs, before it is measured again. Pure. */
import type { RunSummary, VerdictWord } from '../../../src/archive/records.ts';

export interface Earlier {
  /** How it went before, the fails always: `failed at 14:15`, `passed at 14:40, failed at 14:15`. */
  readonly clause: string;
  /** Which attempt at its law the next run will be, 2 or more; null = the first one at this law. */
  readonly attempt: number | null;
}

const did: Readonly<Record<VerdictWord, string>> = {
  pass: 'passed',
  doubt: 'was in doubt',
  fail: 'failed',
  void: 'gave no result',
};

type EarlierRun = Pick<RunSummary, 'verdict' | 'startedAt' | 'lawId' | 'isVirtual'>;

/**
 * @param runs all runs of the serial, newest first
 * @param lawId the law it is to be measured against; attempts are counted for each law
 * @param whenText how a moment is written
 * @returns null for a piece that was never measured
 */
export function earlierOf(
  runs: readonly EarlierRun[],
  lawId: string | null,
  whenText: (iso: string) => string,
): Earlier | null {
  const [newest] = runs;
  if (newest === undefined) return null;
  const fails = runs.filter((run) => run.verdict === 'fail');
  const lastFail = fails[0];
  const told = [
    ...(newest === lastFail ? [] : [`${did[newest.verdict]} ${at(newest, whenText)}`]),
    ...(lastFail === undefined
      ? []
      : [
          fails.length === 1
            ? `failed ${at(lastFail, whenText)}`
            : `failed ${fails.length} times, last ${at(lastFail, whenText)}`,
        ]),
  ];
  const before = runs.filter((run) => run.lawId === lawId).length;
  return { clause: told.join(', '), attempt: before === 0 ? null : before + 1 };
}

const at = (run: EarlierRun, whenText: (iso: string) => string): string =>
  `at ${whenText(run.startedAt)}${run.isVirtual ? ' (virtual)' : ''}`;
