import type { Database as Connection, Statement, Transaction } from 'better-sqlite3';
import { canonicalJson } from './canonical-json.ts';
import { NotPlainDataError, RevisionFrozenError } from './errors.ts';
import { instantMs } from './instant.ts';

/** A law revision as plain data; the archive does not look inside. */
export interface StoredLaw {
  readonly id: string;
  /** 1, 2, 3 ... */
  readonly revision: number;
  readonly data: unknown;
}

/** A calibration as plain data. Of it the archive reads `rigSerial` (text) and `madeAt` (ISO 8601 UTC) only. */
export interface StoredCalibration {
  readonly id: string;
  readonly data: unknown;
}

export interface LawRevision {
  readonly id: string;
  readonly revision: number;
  /** ISO 8601 UTC. */
  readonly storedAt: string;
  readonly runs: number;
}

/** `alreadyStored`: the same content was there; nothing was written. */
export type StoreAnswer = 'stored' | 'alreadyStored';

type Row = { readonly id: string; readonly content: string };

export class LawStore {
  readonly #lawText: Statement<[string, number], string>;
  readonly #insertLaw: Statement;
  readonly #revisions: Statement<[], LawRevision>;
  readonly #calibrationText: Statement<[string], string>;
  readonly #insertCalibration: Statement;
  readonly #calibrations: Statement<[string], Row>;
  readonly #storeLaw: Transaction<(law: StoredLaw, text: string, at: string) => StoreAnswer>;
  readonly #storeCalibration: Transaction<(calibration: StoredCalibration, at: string) => StoreAnswer>;

  constructor(db: Connection) {
    this.#lawText = db
      .prepare<[string, number], string>('SELECT content FROM laws WHERE law_id = ? AND revision = ?')
      .pluck();
    this.#insertLaw = db.prepare('INSERT INTO laws (law_id, revision, content, stored_at) VALUES (?, ?, ?, ?)');
    this.#revisions = db.prepare(
      `SELECT l.law_id AS id, l.revision, l.stored_at AS storedAt, coalesce(used.runs, 0) AS runs FROM laws l
       LEFT JOIN (SELECT law_id, law_revision, count(*) AS runs FROM runs GROUP BY 1, 2) used
         ON used.law_id = l.law_id AND used.law_revision = l.revision
       ORDER BY l.law_id, l.revision`,
    );
    this.#calibrationText = db
      .prepare<[string], string>('SELECT content FROM calibrations WHERE calibration_id = ?')
      .pluck();
    this.#insertCalibration = db.prepare(
      `INSERT INTO calibrations (calibration_id, content, rig_serial, made_at, made_ms, stored_at) VALUES (?, ?, ?, ?, ?, ?)`,
    );
    this.#calibrations = db.prepare(
      `SELECT calibration_id AS id, content FROM calibrations WHERE rig_serial = ?
       ORDER BY made_ms DESC, stored_at DESC, calibration_id DESC`,
    );
    this.#storeLaw = db.transaction((law, text, at) => {
      const stored = this.#lawText.get(law.id, law.revision);
      if (stored === text) return 'alreadyStored';
      if (stored !== undefined) throw new RevisionFrozenError(`Revision ${law.revision} of law ${law.id}`);
      this.#insertLaw.run(law.id, law.revision, text, at);
      return 'stored';
    });
    this.#storeCalibration = db.transaction((calibration, at) => {
      const { text, rigSerial, madeAt, madeMs } = calibrationParts(calibration);
      const stored = this.#calibrationText.get(calibration.id);
      if (stored === text) return 'alreadyStored';
      if (stored !== undefined) throw new RevisionFrozenError(`Calibration ${calibration.id}`);
      this.#insertCalibration.run(calibration.id, text, rigSerial, madeAt, madeMs, at);
      return 'stored';
    });
  }

  storeLaw(law: StoredLaw, at: string): StoreAnswer {
    const where = `law ${law.id}`;
    if (law.id === '' || !law.id.isWellFormed()) throw new NotPlainDataError(where, 'has no usable id');
    if (!Number.isSafeInteger(law.revision) || law.revision < 1) {
      throw new NotPlainDataError(where, `has revision ${law.revision}, not 1, 2, 3 ...`);
    }
    return this.#storeLaw.immediate(law, canonicalJson(law.data, where), at);
  }

  /** Null if this revision is not stored. */
  law(id: string, revision: number): StoredLaw | null {
    const text = this.#lawText.get(id, revision);
    return text === undefined ? null : { id, revision, data: JSON.parse(text) as unknown };
  }

  revisions(): LawRevision[] {
    return this.#revisions.all();
  }

  storeCalibration(calibration: StoredCalibration, at: string): StoreAnswer {
    return this.#storeCalibration.immediate(calibration, at);
  }

  calibration(id: string): StoredCalibration | null {
    const text = this.#calibrationText.get(id);
    return text === undefined ? null : { id, data: JSON.parse(text) as unknown };
  }

  /** Newest `madeAt` first, then the last stored. */
  calibrations(rigSerial: string): StoredCalibration[] {
    return this.#calibrations.all(rigSerial).map((row) => ({ id: row.id, data: JSON.parse(row.content) as unknown }));
  }
}

function calibrationParts(calibration: StoredCalibration) {
  const where = `calibration ${calibration.id}`;
  const { data } = calibration;
  if (calibration.id === '' || !calibration.id.isWellFormed()) throw new NotPlainDataError(where, 'has no usable id');
  if (typeof data !== 'object' || data === null) throw new NotPlainDataError(where, 'is not an object');
  const rigSerial = 'rigSerial' in data ? data.rigSerial : undefined;
  const madeAt = 'madeAt' in data ? data.madeAt : undefined;
  if (typeof rigSerial !== 'string' || rigSerial === '') throw new NotPlainDataError(where, 'names no rigSerial');
  const madeMs = typeof madeAt === 'string' ? instantMs(madeAt) : null;
  if (madeMs === null) throw new NotPlainDataError(where, 'has no madeAt in ISO 8601 UTC');
  return { text: canonicalJson(data, where), rigSerial, madeAt, madeMs };
}
