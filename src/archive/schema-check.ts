import Database, { type Database as Connection } from 'better-sqlite3';
import { type MigrationContext, migrate } from './migrate.ts';
import { migrations } from './migrations/index.ts';

interface SchemaRow {
  readonly type: string;
  readonly name: string;
  readonly sql: string;
}

/**
 * Tables, indexes and triggers that are missing, altered or foreign, compared with a database made fresh by the same
 * migrations; empty = as it should be. A dropped trigger would silently end the protection it gives.
 */
export function schemaFindings(db: Connection): readonly string[] {
  const context: MigrationContext = { path: ':memory:', programVersion: '', now: () => new Date(0) };
  const reference = new Database(':memory:');
  try {
    migrate(reference, migrations, context);
    const expected = schemaOf(reference);
    const found = schemaOf(db);
    const findings: string[] = [];
    for (const [name, row] of expected) {
      const actual = found.get(name);
      if (actual === undefined) findings.push(`the ${row.type} ${row.name} is missing`);
      else if (actual.sql !== row.sql) findings.push(`the ${row.type} ${row.name} was altered`);
    }
    // Foreign tables and indexes do no harm; a foreign trigger can.
    for (const [name, row] of found) {
      if (row.type === 'trigger' && !expected.has(name)) findings.push(`the trigger ${row.name} does not belong here`);
    }
    return findings;
  } finally {
    reference.close();
  }
}

function schemaOf(db: Connection): ReadonlyMap<string, SchemaRow> {
  const rows = db
    .prepare<[], SchemaRow>(
      "SELECT type, name, sql FROM sqlite_schema WHERE sql IS NOT NULL AND name NOT GLOB 'sqlite_*'",
    )
    .all();
  return new Map(rows.map((row) => [`${row.type} ${row.name}`, row]));
}
