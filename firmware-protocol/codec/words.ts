/** Every word of the wire in one table: fields with unit and range, answer, refusals, class of execution. */
import type { WireLine } from './line.ts';
import type { RefusalCode } from './refusals.ts';
import {
  acceleration,
  conversions,
  type FieldSpec,
  field,
  flag,
  integration,
  jerk,
  position,
  speed,
} from './word-fields.ts';

export type { FieldSpec };

/**
 * `session`: starts numbering. `once`: executed at most once, its answer kept for repetition. `express`: may be executed
 * any number of times with the same effect. `none`: from the rig, not acknowledged.
 */
export type ExecutionClass = 'session' | 'once' | 'express' | 'none';
export type AnswerShape = 'hello' | 'limits' | 'status' | 'reading' | 'glideEnd';

export interface WordSpec {
  readonly word: string;
  readonly kind: 'order' | 'express' | 'event';
  readonly meaning: string;
  readonly fields: readonly FieldSpec[];
  readonly answer: AnswerShape | null;
  readonly refusals: readonly RefusalCode[];
  readonly execution: ExecutionClass;
  /** True when the carriage may move: such an order ends early when halted, silent, stalled or unlocked. */
  readonly moves: boolean;
}

const everyOrder: readonly RefusalCode[] = ['asleep', 'turn', 'busy', 'field', 'range', 'fault'];
const everyMotion: readonly RefusalCode[] = [...everyOrder, 'estop', 'unpowered', 'halted', 'silent', 'stalled'];

export const words: readonly WordSpec[] = [
  {
    word: 'hello',
    kind: 'order',
    meaning: 'open a session, restart numbering, learn who the rig is',
    fields: [field('v', 'protocol version wanted', 'version', 1, 65_535)],
    answer: 'hello',
    refusals: ['turn', 'field', 'range', 'version'],
    execution: 'session',
    moves: false,
  },
  {
    word: 'limits',
    kind: 'order',
    meaning: 'one page of what the rig can do',
    fields: [field('page', 'page, from 0', 'count', 0, 99)],
    answer: 'limits',
    refusals: everyOrder,
    execution: 'once',
    moves: false,
  },
  {
    word: 'power',
    kind: 'order',
    meaning: 'motor power; on=1 also lifts a motion lock',
    fields: [flag('on', 'motor power')],
    answer: 'status',
    refusals: [...everyOrder, 'estop'],
    execution: 'once',
    moves: false,
  },
  {
    word: 'home',
    kind: 'order',
    meaning: 'low-force search of the home switch, then stand at 0',
    fields: [],
    answer: 'status',
    refusals: [...everyMotion, 'guard', 'clamp'],
    execution: 'once',
    moves: true,
  },
  {
    word: 'visit',
    kind: 'order',
    meaning: 'move, settle, read',
    fields: [
      position('target'),
      speed,
      acceleration,
      jerk,
      flag('up', 'reach the target from below (1) or from above (0)'),
      field('w', 'wait between standstill and reading', 'us', 0, 10_000_000),
      integration,
      conversions,
    ],
    answer: 'reading',
    refusals: [...everyMotion, 'unhomed', 'guard', 'clamp', 'travel'],
    execution: 'once',
    moves: true,
  },
  {
    word: 'sense',
    kind: 'order',
    meaning: 'read where the carriage stands',
    fields: [integration, conversions],
    answer: 'reading',
    refusals: [...everyOrder, 'halted'],
    execution: 'once',
    moves: false,
  },
  {
    word: 'ohms',
    kind: 'order',
    meaning: 'as sense, with the series reference resistor in the feed',
    fields: [integration, conversions],
    answer: 'reading',
    refusals: [...everyOrder, 'halted'],
    execution: 'once',
    moves: false,
  },
  {
    word: 'glide',
    kind: 'order',
    meaning: 'move steadily and send a sample every period',
    fields: [position('target'), speed, acceleration, jerk, field('e', 'sample period', 'us', 20, 1_000_000)],
    answer: 'glideEnd',
    refusals: [...everyMotion, 'unhomed', 'guard', 'clamp', 'travel'],
    execution: 'once',
    moves: true,
  },
  {
    word: 'creep',
    kind: 'order',
    meaning: 'move slowly; the guard and the clamp may be open',
    fields: [position('target'), field('v', 'speed, at most the creep limit', 'um/s', 1, 1_000_000)],
    answer: 'status',
    // Guard and clamp only as the reason of a motion lock.
    refusals: [...everyMotion, 'unhomed', 'guard', 'clamp', 'travel'],
    execution: 'once',
    moves: true,
  },
  {
    word: 'park',
    kind: 'order',
    meaning: 'slowly to the loading position, then motor power off',
    fields: [],
    answer: 'status',
    refusals: [...everyMotion, 'unhomed', 'guard', 'clamp'],
    execution: 'once',
    moves: true,
  },
  {
    word: 'beat',
    kind: 'express',
    meaning: 'feed the watchdog, ask for the state',
    fields: [],
    answer: 'status',
    refusals: ['asleep', 'word', 'field'],
    execution: 'express',
    moves: false,
  },
  {
    word: 'halt',
    kind: 'express',
    meaning: 'brake now, end the order in work, lock motion',
    fields: [],
    answer: 'status',
    refusals: ['asleep', 'word', 'field'],
    execution: 'express',
    moves: false,
  },
  {
    word: 'awake',
    kind: 'event',
    meaning: 'the rig has started and has no session; every 500 ms until hello',
    fields: [],
    answer: null,
    refusals: [],
    execution: 'none',
    moves: false,
  },
  {
    word: 'locks',
    kind: 'event',
    meaning: 'an interlock has changed',
    fields: [flag('g', 'guard closed'), flag('e', 'emergency stop released'), flag('p', 'clamp closed')],
    answer: null,
    refusals: [],
    execution: 'none',
    moves: false,
  },
  {
    word: 'stall',
    kind: 'event',
    meaning: 'the carriage did not follow; motion is locked, the position unknown',
    fields: [position('where, as far as counted')],
    answer: null,
    refusals: [],
    execution: 'none',
    moves: false,
  },
  {
    word: 'silent',
    kind: 'event',
    meaning: 'the watchdog has stopped the carriage',
    fields: [position('where it stands')],
    answer: null,
    refusals: [],
    execution: 'none',
    moves: false,
  },
];

const byWord: ReadonlyMap<string, WordSpec> = new Map(words.map((spec) => [`${spec.kind} ${spec.word}`, spec]));

/** The table row of a word; null when there is none of that kind. */
export function wordSpec(kind: WireLine['kind'], word: string): WordSpec | null {
  return byWord.get(`${kind} ${word}`) ?? null;
}

export interface OrderFault {
  readonly code: 'word' | 'field' | 'range';
  /** The field concerned. */
  readonly at?: string;
}

/**
 * Judge an order or express line by the table alone: null when word, fields and protocol ranges are right. The rig's
 * own limits, state and interlocks come after this. Any other kind of line is `word`: nobody may order with it.
 */
export function checkOrder(line: WireLine): OrderFault | null {
  const spec = line.kind === 'order' || line.kind === 'express' ? wordSpec(line.kind, line.word ?? '') : null;
  if (spec === null) return { code: 'word' };
  for (const key of Object.keys(line.fields)) {
    if (!spec.fields.some((known) => known.key === key)) return { code: 'field', at: key };
  }
  for (const known of spec.fields) {
    if (known.required && line.fields[known.key] === undefined) return { code: 'field', at: known.key };
  }
  for (const known of spec.fields) {
    const value = line.fields[known.key];
    if (value !== undefined && (value < known.min || value > known.max)) return { code: 'range', at: known.key };
  }
  return null;
}
