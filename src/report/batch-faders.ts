/**
 * From runs to faders: a fader measured again is still one fader. Its earlier runs stay in sight, and a pass
 * that came after a fail is named, so that repeating never launders a reject.
 */
import type { PointRecord, RunRecord, VerdictWord } from '../archive/records.ts';
import type { LawData } from '../law/law.ts';

export interface BatchFader {
  readonly serial: string;
  /** The run that counts: the latest one that said something; the latest of all where every one was void. */
  readonly run: RunRecord;
  /** Runs of this serial before the one that counts or void after it, oldest first. */
  readonly otherRuns: readonly RunRecord[];
  /** The run that counts passed or is in doubt although an earlier one failed. */
  readonly failedBefore: boolean;
}

export interface Batch {
  /** In the order in which the faders were first measured. */
  readonly faders: readonly BatchFader[];
  /** Runs judged against another law or revision: listed, never counted or drawn. */
  readonly otherLaw: readonly RunRecord[];
}

const byTime = (a: RunRecord, b: RunRecord): number =>
  a.startedAt < b.startedAt ? -1 : a.startedAt > b.startedAt ? 1 : a.runId < b.runId ? -1 : 1;

const asFader = (serial: string, runs: readonly RunRecord[], first: RunRecord): BatchFader => {
  const judged = runs.filter((run) => run.verdict !== 'void');
  const run = judged.at(-1) ?? runs.at(-1) ?? first;
  const otherRuns = runs.filter((other) => other !== run);
  return {
    serial,
    run,
    otherRuns,
    failedBefore:
      (run.verdict === 'pass' || run.verdict === 'doubt') && otherRuns.some((other) => other.verdict === 'fail'),
  };
};

/** Groups runs by serial. Pure; the order of `runs` does not matter. */
export function gatherFaders(runs: readonly RunRecord[], law: LawData): Batch {
  const bySerial = new Map<string, RunRecord[]>();
  const otherLaw: RunRecord[] = [];
  for (const run of [...runs].sort(byTime)) {
    if (run.lawId !== law.id || run.lawRevision !== law.revision) {
      otherLaw.push(run);
      continue;
    }
    const known = bySerial.get(run.serial);
    if (known === undefined) bySerial.set(run.serial, [run]);
    else known.push(run);
  }
  const faders: BatchFader[] = [];
  for (const [serial, ofSerial] of bySerial) {
    const [first] = ofSerial;
    if (first !== undefined) faders.push(asFader(serial, ofSerial, first));
  }
  return { faders, otherLaw };
}

/** How many faders have each word. */
export function verdictCounts(faders: readonly BatchFader[]): Readonly<Record<VerdictWord, number>> {
  const counts = { pass: 0, doubt: 0, fail: 0, void: 0 };
  for (const { run } of faders) counts[run.verdict] += 1;
  return counts;
}

/** The point named worst by the run, or null where none was measured. */
export function worstPoint(run: RunRecord): PointRecord | null {
  if (run.worstPointIndex === null) return null;
  return run.points.find((point) => point.pointIndex === run.worstPointIndex) ?? null;
}
