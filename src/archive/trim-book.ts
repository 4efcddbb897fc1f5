import type { Database as Connection, Statement, Transaction } from 'better-sqlite3';
import { canonicalJson } from './canonical-json.ts';
import { cellsOf } from './cells.ts';
import { columnList, type FieldMap, insertInto, selectList } from './columns.ts';
import { TrimRefusedError } from './errors.ts';
import { instantMs } from './instant.ts';
import { sqliteCode } from './sqlite-errors.ts';
import type { ToolBeliefRecord, TrimEvent } from './trim-records.ts';

const eventFields: FieldMap<Omit<TrimEvent, 'content'>> = {
  serial: 'serial',
  batch: 'batch',
  state: 'state',
  pass: 'pass',
  runId: 'run_id',
  lawId: 'law_id',
  lawRevision: 'law_revision',
  toolId: 'tool_id',
  toolKind: 'tool_kind',
  operator: 'operator',
  at: 'at',
};

const beliefFields: FieldMap<ToolBeliefRecord> = {
  rigSerial: 'rig_serial',
  toolId: 'tool_id',
  toolKind: 'tool_kind',
  trackType: 'track_type',
  sheet: 'sheet',
  cause: 'cause',
  mean: 'mean',
  sd: 'sd',
  cutSd: 'cut_sd',
  cuts: 'cuts',
  runId: 'run_id',
  reason: 'reason',
  operator: 'operator',
  at: 'at',
};

type EventRow = Omit<TrimEvent, 'content'> & { readonly content: string };

/** Events of trimmed pieces and beliefs of tools: added, read, never changed. */
export class TrimBook {
  readonly #insertEvent: Statement;
  readonly #insertBelief: Statement;
  readonly #ofSerial: Statement<[string], EventRow>;
  readonly #ofBatch: Statement<[string], EventRow>;
  readonly #unmeasured: Statement<[], string>;
  readonly #beliefs: Statement<[string, string, string], ToolBeliefRecord>;
  readonly #record: Transaction<(events: readonly TrimEvent[], belief: ToolBeliefRecord | null) => void>;

  constructor(db: Connection) {
    const eventColumns = columnList(eventFields).split(', ');
    this.#insertEvent = db.prepare(insertInto('trim_events', [...eventColumns, 'at_ms', 'content']));
    this.#insertBelief = db.prepare(insertInto('tool_beliefs', [...columnList(beliefFields).split(', '), 'at_ms']));
    const events = `SELECT ${selectList(eventFields)}, content FROM trim_events`;
    this.#ofSerial = db.prepare(`${events} WHERE serial = ? ORDER BY event_no`);
    this.#ofBatch = db.prepare(
      `${events} WHERE serial IN (SELECT serial FROM trim_events WHERE batch = ?) ORDER BY event_no`,
    );
    this.#unmeasured = db
      .prepare<[], string>(
        `SELECT serial FROM trim_events e WHERE state IN ('cutsAsked', 'cutsDone')
         AND event_no = (SELECT max(event_no) FROM trim_events WHERE serial = e.serial) ORDER BY event_no`,
      )
      .pluck();
    this.#beliefs = db.prepare(
      `SELECT ${selectList(beliefFields)} FROM tool_beliefs
       WHERE rig_serial = ? AND tool_id = ? AND track_type = ? ORDER BY belief_no DESC`,
    );
    this.#record = db.transaction((newEvents, belief) => {
      for (const event of newEvents) this.#writeEvent(event);
      if (belief !== null) this.#writeBelief(belief);
    });
  }

  /** One transaction: all or nothing, on disk when it returns. @throws TrimRefusedError */
  record(events: readonly TrimEvent[], belief: ToolBeliefRecord | null): void {
    try {
      this.#record.immediate(events, belief);
    } catch (error) {
      if (!(error instanceof Error) || sqliteCode(error)?.startsWith('SQLITE_CONSTRAINT') !== true) throw error;
      throw new TrimRefusedError(
        events[0]?.serial ?? belief?.toolId ?? '',
        error.message.replace(/^rule: /, ''),
        error,
      );
    }
  }

  /** Oldest first. */
  ofSerial(serial: string): TrimEvent[] {
    return this.#ofSerial.all(serial).map(eventOf);
  }

  /** All events of every piece that was ever trimmed in this batch, oldest first. */
  ofBatch(batch: string): TrimEvent[] {
    return this.#ofBatch.all(batch).map(eventOf);
  }

  /** Serials whose cuts were asked for or done and not measured since, the longest waiting first. */
  unmeasured(): string[] {
    return this.#unmeasured.all();
  }

  /** Newest first. */
  beliefs(rigSerial: string, toolId: string, trackType: string): ToolBeliefRecord[] {
    return this.#beliefs.all(rigSerial, toolId, trackType);
  }

  #writeEvent(event: TrimEvent): void {
    const where = `${event.state} of ${event.serial}`;
    const { content, ...head } = event;
    this.#insertEvent.run(
      cellsOf(eventFields, head, where, ''),
      atMs(event.serial, event.at),
      canonicalJson(content, where),
    );
  }

  #writeBelief(belief: ToolBeliefRecord): void {
    this.#insertBelief.run(cellsOf(beliefFields, belief, `tool ${belief.toolId}`, ''), atMs(belief.toolId, belief.at));
  }
}

function eventOf(row: EventRow): TrimEvent {
  return { ...row, content: JSON.parse(row.content) as unknown };
}

function atMs(what: string, at: string): number {
  const ms = instantMs(at);
  if (ms === null) throw new TrimRefusedError(what, `"${at}" is not an ISO 8601 UTC time`);
  return ms;
}
