import type { Database as Connection } from 'better-sqlite3';
import { RunFinder } from './find-runs.ts';
import { RunReader } from './read-run.ts';
import { schemaFindings } from './schema-check.ts';
import { sqliteCode } from './sqlite-errors.ts';

export type IntegrityDepth = 'quick' | 'full';

export interface IntegrityReport {
  readonly depth: IntegrityDepth;
  /** Empty = whole. */
  readonly findings: readonly string[];
  /** Full only: runs whose checksum was recomputed and agreed; runs recorded before checksums were kept. */
  readonly runsVerified: number;
  readonly runsWithoutChecksum: number;
}

const mostFindings = 100;

/**
 * quick: page structure, column types and CHECK rules, tables and triggers as they should be.
 * full: also indexes, references, and every run against the checksum it was recorded with.
 */
export function checkDatabase(db: Connection, depth: IntegrityDepth): IntegrityReport {
  const findings: string[] = [];
  let runsVerified = 0;
  let runsWithoutChecksum = 0;
  try {
    findings.push(...structureFindings(db, depth), ...schemaFindings(db));
    if (depth === 'full' && findings.length === 0) {
      findings.push(...referenceFindings(db));
      const reader = new RunReader(db);
      for (const page of new RunFinder(db).pages({}, 500)) {
        for (const { runId } of page) {
          const answer = reader.isAsRecorded(runId);
          if (answer === null) runsWithoutChecksum += 1;
          else if (answer) runsVerified += 1;
          else if (findings.length < mostFindings) findings.push(`run ${runId} is not as it was recorded`);
        }
      }
    }
  } catch (error) {
    // A page too damaged to read ends the check with an exception instead of a row.
    if (!(error instanceof Error) || sqliteCode(error)?.startsWith('SQLITE_CORRUPT') !== true) throw error;
    findings.push(error.message);
  }
  return { depth, findings, runsVerified, runsWithoutChecksum };
}

function structureFindings(db: Connection, depth: IntegrityDepth): string[] {
  const rows = db.pragma(depth === 'full' ? 'integrity_check' : 'quick_check') as readonly Record<string, string>[];
  return rows.flatMap((row) => Object.values(row)).filter((text) => text !== 'ok');
}

function referenceFindings(db: Connection): string[] {
  const rows = db.pragma('foreign_key_check') as readonly { table: string; parent: string }[];
  const findings = rows.map((row) => `a row of ${row.table} refers to a missing row of ${row.parent}`);
  const orphans = db.prepare<[], number>(
    'SELECT run_no FROM measurements WHERE NOT EXISTS (SELECT 1 FROM runs WHERE runs.run_no = measurements.run_no)',
  );
  for (const runNo of orphans.pluck().all()) findings.push(`the measurements ${runNo} belong to no run`);
  return findings.slice(0, mostFindings);
}
