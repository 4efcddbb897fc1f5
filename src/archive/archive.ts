import type { Database as Connection } from 'better-sqlite3';
import { type BackupProgress, type BackupResult, backUp } from './backup.ts';
import { UnknownReferenceError } from './errors.ts';
import { type CsvKind, exportCsv } from './export-csv.ts';
import { exportJson } from './export-json.ts';
import { type AttemptCount, type LawUse, type RunFilter, RunFinder, type RunSearch } from './find-runs.ts';
import { checkDatabase, type IntegrityDepth, type IntegrityReport } from './integrity.ts';
import { type LawRevision, LawStore, type StoreAnswer, type StoredCalibration, type StoredLaw } from './law-store.ts';
import { userVersion } from './migrate.ts';
import { type Opening, OpeningBook } from './openings.ts';
import { RunReader } from './read-run.ts';
import type { RunRecord, RunSummary } from './records.ts';
import { SettingsTable } from './settings.ts';
import { archiveError } from './sqlite-errors.ts';
import { StationClaim } from './station-claim.ts';
import { TrimBook } from './trim-book.ts';
import type { ToolBeliefRecord, TrimEvent } from './trim-records.ts';
import { RunWriter } from './write-run.ts';

/** A word of the command line may hold the claim for a moment, to record what was cut off. */
const claimPatienceMs = 1_000;

/**
 * All results by serial number. Made by `openArchive`. Runs, laws and calibrations are only ever added; every method that
 * writes has the result on disk when it returns. All methods throw an `ArchiveError` with a `code`.
 */
export class Archive {
  readonly path: string;
  readonly #db: Connection;
  readonly #now: () => Date;
  readonly #writer: RunWriter;
  readonly #reader: RunReader;
  readonly #finder: RunFinder;
  readonly #openings: OpeningBook;
  readonly #laws: LawStore;
  readonly #settings: SettingsTable;
  readonly #trims: TrimBook;
  #claim: StationClaim | null = null;

  constructor(db: Connection, path: string, now: () => Date) {
    this.path = path;
    this.#db = db;
    this.#now = now;
    this.#writer = new RunWriter(db);
    this.#reader = new RunReader(db);
    this.#finder = new RunFinder(db);
    this.#openings = new OpeningBook(db);
    this.#laws = new LawStore(db);
    this.#settings = new SettingsTable(db);
    this.#trims = new TrimBook(db);
  }

  /** The archive version of the file. */
  get version(): number {
    return this.#try(() => userVersion(this.#db));
  }

  /** What keeps acknowledged runs safe, as SQLite reports it now; `synchronous` 2 = FULL. */
  get safeguards(): { journalMode: string; synchronous: number; foreignKeys: boolean; recursiveTriggers: boolean } {
    return this.#try(() => ({
      journalMode: String(this.#db.pragma('journal_mode', { simple: true })),
      synchronous: Number(this.#db.pragma('synchronous', { simple: true })),
      foreignKeys: this.#db.pragma('foreign_keys', { simple: true }) === 1,
      recursiveTriggers: this.#db.pragma('recursive_triggers', { simple: true }) === 1,
    }));
  }

  /** Claims the right to measure into this archive until closed; call before `unfinished`. @throws ArchiveBusyError */
  claimStation(waitMs = claimPatienceMs): void {
    this.#claim ??= this.#try(() => new StationClaim(this.path, waitMs));
  }

  /** Lets another station measure; this archive may still be read and added to. Idempotent. */
  releaseStation(): void {
    this.#claim?.release();
    this.#claim = null;
  }

  /** Notes that a run begins; call before anything moves. @throws DuplicateRunError, UnknownReferenceError, RunRefusedError */
  beginRun(opening: Opening): void {
    this.#try(() => this.#openings.begin(opening));
  }

  /** Writes a whole run. @throws DuplicateRunError, UnknownReferenceError, RunRefusedError, ArchiveFullError ... */
  recordRun(run: RunRecord): void {
    this.#try(() => this.#writer.write(run));
  }

  /** Runs begun and never recorded, oldest first. Only for the station that holds the claim and has no run going. */
  unfinished(): Opening[] {
    return this.#try(() => this.#openings.unfinished());
  }

  /** The whole run; null if there is none of this id. */
  run(runId: string): RunRecord | null {
    return this.#try(() => this.#reader.read(runId));
  }

  /** Newest first. */
  runsOfSerial(serial: string): RunSummary[] {
    return this.#try(() => this.#finder.ofSerial(serial));
  }

  /** Newest first, one page. @throws BadQueryError */
  findRuns(search: RunSearch = {}): RunSummary[] {
    return this.#try(() => this.#finder.find(search));
  }

  countRuns(filter: RunFilter = {}): number {
    return this.#try(() => this.#finder.count(filter));
  }

  /** Newest run of each of the last `count` pieces, the last recorded first. */
  lastPieces(count: number): RunSummary[] {
    return this.#try(() => this.#finder.lastPieces(count));
  }

  countAttempts(serial: string, lawId: string): AttemptCount {
    return this.#try(() => this.#finder.attempts(serial, lawId));
  }

  /** The same content again is fine; other content for a stored revision is refused. @throws RevisionFrozenError, NotPlainDataError */
  storeLaw(law: StoredLaw): StoreAnswer {
    return this.#try(() => this.#laws.storeLaw(law, this.#now().toISOString()));
  }

  law(id: string, revision: number): StoredLaw | null {
    return this.#try(() => this.#laws.law(id, revision));
  }

  /** All law revisions with the number of runs measured against each. */
  lawRevisions(): LawRevision[] {
    return this.#try(() => this.#laws.revisions());
  }

  /** @throws UnknownReferenceError for a revision that is not stored. */
  whereUsed(lawId: string, revision: number): LawUse {
    return this.#try(() => {
      if (this.#laws.law(lawId, revision) === null) {
        throw new UnknownReferenceError(`Revision ${revision} of law ${lawId}`);
      }
      return this.#finder.lawUse(lawId, revision);
    });
  }

  /** @throws RevisionFrozenError, NotPlainDataError */
  storeCalibration(calibration: StoredCalibration): StoreAnswer {
    return this.#try(() => this.#laws.storeCalibration(calibration, this.#now().toISOString()));
  }

  calibration(id: string): StoredCalibration | null {
    return this.#try(() => this.#laws.calibration(id));
  }

  /** Newest first. */
  calibrations(rigSerial: string): StoredCalibration[] {
    return this.#try(() => this.#laws.calibrations(rigSerial));
  }

  /** The newest by `madeAt`; null = never calibrated. Whether it is overdue is for the caller to judge. */
  activeCalibration(rigSerial: string): StoredCalibration | null {
    return this.calibrations(rigSerial)[0] ?? null;
  }

  /** Undefined if never set. */
  setting(key: string): unknown {
    return this.#try(() => this.#settings.get(key));
  }

  settings(): Record<string, unknown> {
    return this.#try(() => this.#settings.all());
  }

  /** @throws NotPlainDataError */
  setSetting(key: string, value: unknown): void {
    this.#try(() => this.#settings.set(key, value));
  }

  /** Adds events of a trimmed piece and, with them, what was learnt of the tool: all or nothing. @throws TrimRefusedError */
  recordTrim(events: readonly TrimEvent[], belief: ToolBeliefRecord | null = null): void {
    this.#try(() => this.#trims.record(events, belief));
  }

  /** Oldest first. */
  trimEvents(serial: string): TrimEvent[] {
    return this.#try(() => this.#trims.ofSerial(serial));
  }

  /** Events of all pieces that were trimmed in a batch, oldest first. */
  trimEventsOfBatch(batch: string): TrimEvent[] {
    return this.#try(() => this.#trims.ofBatch(batch));
  }

  /** Serials whose cuts were asked for or done and not measured since. */
  cutNotMeasured(): string[] {
    return this.#try(() => this.#trims.unmeasured());
  }

  /** Newest first; the first is what is believed now. Empty = nothing was learnt yet. */
  toolBeliefs(rigSerial: string, toolId: string, trackType: string): ToolBeliefRecord[] {
    return this.#try(() => this.#trims.beliefs(rigSerial, toolId, trackType));
  }

  /** @throws ArchiveFileExistsError: a backup never overwrites. */
  backup(toPath: string, onProgress?: (progress: BackupProgress) => void): Promise<BackupResult> {
    return backUp(this.#db, toPath, onProgress);
  }

  /** Quick takes seconds per gigabyte; full also recomputes every run's checksum. Findings are returned, not thrown. */
  checkIntegrity(depth: IntegrityDepth = 'full'): IntegrityReport {
    return this.#try(() => checkDatabase(this.#db, depth));
  }

  exportCsv(filter: RunFilter, kind: CsvKind): AsyncGenerator<string, void, undefined> {
    return this.#tryStream(exportCsv(this.#finder, this.#reader, filter, kind));
  }

  exportJson(filter: RunFilter = {}): AsyncGenerator<string, void, undefined> {
    return this.#tryStream(exportJson(this.#finder, this.#reader, this.#laws, filter));
  }

  /** Idempotent. */
  close(): void {
    this.releaseStation();
    this.#try(() => this.#db.close());
  }

  #try<T>(action: () => T): T {
    try {
      return action();
    } catch (error) {
      throw archiveError(error, this.path);
    }
  }

  async *#tryStream(stream: AsyncGenerator<string, void, undefined>): AsyncGenerator<string, void, undefined> {
    try {
      yield* stream;
    } catch (error) {
      throw archiveError(error, this.path);
    }
  }
}
