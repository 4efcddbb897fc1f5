import type { Database as Connection, Statement } from 'better-sqlite3';
import { canonicalJson } from './canonical-json.ts';

/** Changeable values such as the operator list: the only thing in the archive that may be overwritten. */
export class SettingsTable {
  readonly #get: Statement<[string], string>;
  readonly #all: Statement<[], { readonly key: string; readonly value: string }>;
  readonly #set: Statement;

  constructor(db: Connection) {
    this.#get = db.prepare<[string], string>('SELECT value FROM settings WHERE key = ?').pluck();
    this.#all = db.prepare('SELECT key, value FROM settings ORDER BY key');
    this.#set = db.prepare(
      'INSERT INTO settings (key, value) VALUES (?, ?) ON CONFLICT (key) DO UPDATE SET value = excluded.value',
    );
  }

  /** Undefined if never set. */
  get(key: string): unknown {
    const text = this.#get.get(key);
    return text === undefined ? undefined : (JSON.parse(text) as unknown);
  }

  all(): Record<string, unknown> {
    return Object.fromEntries(this.#all.all().map((row) => [row.key, JSON.parse(row.value) as unknown]));
  }

  set(key: string, value: unknown): void {
    this.#set.run(key, canonicalJson(value ?? null, `setting ${key}`));
  }
}
