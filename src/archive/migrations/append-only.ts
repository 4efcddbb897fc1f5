/**
 * The two triggers that refuse to change or delete rows of a table. Written into databases by numbered migrations,
 * so the text is frozen: another wording needs another function and a new migration.
 */
export function appendOnlyTriggers(table: string, what: string): string {
  return `
CREATE TRIGGER ${table}_never_changed BEFORE UPDATE ON ${table} BEGIN
  SELECT RAISE(ABORT, 'append-only: ${what} is never changed; record a new one instead');
END;
CREATE TRIGGER ${table}_never_deleted BEFORE DELETE ON ${table} BEGIN
  SELECT RAISE(ABORT, 'append-only: ${what} is never deleted');
END;`;
}

/**
 * Refuses an insert that meets an existing key. A plain INSERT would fail anyway; INSERT OR REPLACE would delete the
 * old row, and does so without firing delete triggers in tools that leave recursive_triggers off.
 */
export function neverReplacedTrigger(table: string, what: string, sameKey: string): string {
  return `
CREATE TRIGGER ${table}_never_replaced BEFORE INSERT ON ${table}
WHEN EXISTS (SELECT 1 FROM ${table} WHERE ${sameKey}) BEGIN
  SELECT RAISE(ABORT, 'append-only: ${what} with this key is stored already and is never replaced');
END;`;
}
