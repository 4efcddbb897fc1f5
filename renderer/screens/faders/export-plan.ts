/** What can be written out, under which name. Pure. */
import type { RunSummary } from '../../../src/archive/records.ts';
import type { CommandInput, FindQuery } from '../../../src/contract/commands.ts';

export type ExportWhat = CommandInput<'export.write'>['what'];

export interface ExportKind {
  readonly what: ExportWhat | 'report';
  readonly name: string;
  readonly sentence: string;
  readonly extension: 'csv' | 'json' | 'html';
}

export const exportKinds: readonly ExportKind[] = [
  { what: 'runs', name: 'Runs', sentence: 'One row a run: serial, verdict, worst point, who, when.', extension: 'csv' },
  { what: 'points', name: 'Points', sentence: 'One row a law point: deviation, limits, U, zone.', extension: 'csv' },
  { what: 'checks', name: 'Checks', sentence: 'Closed and open loss, track, play, with limits.', extension: 'csv' },
  { what: 'readings', name: 'Readings', sentence: 'Every reading, calibrated and raw.', extension: 'csv' },
  { what: 'json', name: 'Everything', sentence: 'Whole records with traces, for programs.', extension: 'json' },
];

export const reportKind: ExportKind = {
  what: 'report',
  name: 'Batch report',
  sentence: 'A page to read and print: all faders of the batch against the law.',
  extension: 'html',
};

/** Whose runs are written. */
export type ExportScope =
  | { readonly kind: 'found'; readonly query: FindQuery; readonly total: number }
  | { readonly kind: 'run'; readonly run: Pick<RunSummary, 'serial' | 'startedAt'> };

/** One run by serial and instant of its start: the contract finds runs, not a run id. */
export function scopeQuery(scope: ExportScope): FindQuery {
  if (scope.kind === 'found') return scope.query;
  const started = new Date(scope.run.startedAt);
  return {
    serialPart: scope.run.serial,
    from: started.toISOString(),
    to: new Date(started.getTime() + 1).toISOString(),
  };
}

const safe = (text: string): string => text.replace(/[^A-Za-z0-9._-]+/g, '-');

export function fileNameFor(kind: ExportKind, scope: ExportScope, batch: string | null): string {
  if (kind.what === 'report') return `${safe(batch ?? 'batch')}-report.html`;
  const whose =
    scope.kind === 'run'
      ? safe(scope.run.serial)
      : safe([scope.query.batch ?? scope.query.serialPart ?? 'faders', scope.query.verdict].filter(Boolean).join('-'));
  return `${whose}-${kind.what === 'json' ? 'records' : kind.what}.${kind.extension}`;
}

/** `1.4 MB`, `812 bytes`. */
export function bytesText(bytes: number): string {
  if (bytes < 1_000) return `${bytes} bytes`;
  return bytes < 1_000_000 ? `${(bytes / 1_000).toFixed(0)} kB` : `${(bytes / 1_000_000).toFixed(1)} MB`;
}
