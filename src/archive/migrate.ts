import type { Database as Connection } from 'better-sqlite3';
import { ArchiveDamagedError } from './errors.ts';
import type { Migration } from './migrations/migration.ts';

/** "FADW" as a big-endian number: marks the file as an archive of this program. */
export const applicationId = 0x46414457;

export interface MigrationContext {
  readonly path: string;
  readonly programVersion: string;
  readonly now: () => Date;
}

export function userVersion(db: Connection): number {
  return Number(db.pragma('user_version', { simple: true }));
}

/**
 * Brings the database from its version to the newest of `migrations`, each in one transaction that also checks every
 * foreign key before it commits. Another process doing the same at the same time is waited for, not repeated.
 */
export function migrate(db: Connection, migrations: readonly Migration[], context: MigrationContext): void {
  // Rebuilding a table that others refer to needs the references unwatched meanwhile; foreign_key_check replaces them.
  db.pragma('foreign_keys = OFF');
  for (const migration of migrations) {
    if (userVersion(db) >= migration.version) continue;
    db.transaction(() => apply(db, migration, context)).immediate();
  }
  db.pragma('foreign_keys = ON');
}

function apply(db: Connection, migration: Migration, context: MigrationContext): void {
  // Read again inside the transaction: another process may have just done it.
  if (userVersion(db) >= migration.version) return;
  db.exec(migration.sql);
  const broken = db.pragma('foreign_key_check') as readonly { table: string; parent: string }[];
  if (broken.length > 0) {
    const findings = broken.map((row) => `a row of ${row.table} refers to a missing row of ${row.parent}`);
    throw new ArchiveDamagedError(context.path, findings);
  }
  db.prepare('INSERT INTO schema_history (version, title, applied_at, program_version) VALUES (?, ?, ?, ?)').run(
    migration.version,
    migration.title,
    context.now().toISOString(),
    context.programVersion,
  );
  db.pragma(`application_id = ${applicationId}`);
  db.pragma(`user_version = ${migration.version}`);
}
