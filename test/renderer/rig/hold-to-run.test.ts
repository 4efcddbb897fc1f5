import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  atRest,
  type HoldEvent,
  type HoldOrder,
  type HoldState,
  holdStep,
} from '../../../renderer/screens/rig/hold-to-run.ts';

/** Sends events one after the other and keeps what was ordered. */
function driven(...events: readonly HoldEvent[]): { state: HoldState; orders: HoldOrder[] } {
  let state = atRest;
  const orders: HoldOrder[] = [];
  for (const event of events) {
    const step = holdStep(state, event);
    state = step.state;
    orders.push(...step.orders);
  }
  return { state, orders };
}

const press: HoldEvent = { kind: 'press', direction: 'opening' };
const other: HoldEvent = { kind: 'press', direction: 'closing' };
const release: HoldEvent = { kind: 'release' };
const stop: HoldEvent = { kind: 'stop' };
const lost: HoldEvent = { kind: 'lost' };
const tick: HoldEvent = { kind: 'tick' };
const settled = (creepId: number): HoldEvent => ({ kind: 'settled', creepId });

describe('while the key is held', () => {
  test('one creep is asked for, and every tick says that the key is still held', () => {
    const { state, orders } = driven(press, tick, tick);
    expect(orders).toEqual([{ kind: 'creep', creepId: 1, direction: 'opening' }, { kind: 'held' }, { kind: 'held' }]);
    expect(state.phase).toBe('creeping');
  });

  test('a creep that ends by itself is not asked for again until the key came up', () => {
    const { state, orders } = driven(press, settled(1), tick, press, tick);
    expect(orders.filter(({ kind }) => kind === 'creep')).toHaveLength(1);
    expect(state.phase).toBe('still');
    expect(driven(press, settled(1), release, press).orders.at(-1)).toEqual({
      kind: 'creep',
      creepId: 2,
      direction: 'opening',
    });
  });
});

describe.each<[string, HoldEvent]>([
  ['release', release],
  ['Escape', stop],
  ['focus, pointer or window lost', lost],
  ['a second key', other],
])('%s', (_what, event) => {
  test('halts at once', () => {
    expect(driven(press, event).orders.at(-1)).toEqual({ kind: 'halt' });
  });

  test('halts again at every tick until the creep has settled, however late its answer comes', () => {
    const ticks = Array.from({ length: 20 }, () => tick);
    const { orders, state } = driven(press, event, ...ticks);
    expect(orders.filter(({ kind }) => kind === 'halt')).toHaveLength(21);
    expect(state.phase).toBe('halting');
    expect(driven(press, event, ...ticks, settled(1), tick).orders).toHaveLength(22);
  });

  test('a press before the creep has settled starts nothing', () => {
    expect(driven(press, event, press, other, tick).orders.filter(({ kind }) => kind === 'creep')).toHaveLength(1);
  });
});

test('after Escape the key that is still down starts nothing', () => {
  const { orders } = driven(press, stop, settled(1), press, tick);
  expect(orders.filter(({ kind }) => kind === 'creep')).toHaveLength(1);
});

test('after a loss the next press counts, though no release ever came', () => {
  const { state } = driven(press, lost, settled(1), press);
  expect(state).toMatchObject({ phase: 'creeping', creepId: 2 });
});

test('an answer to an older creep ends nothing', () => {
  const { state } = driven(press, release, settled(1), press, settled(1), tick);
  expect(state).toMatchObject({ phase: 'creeping', creepId: 2 });
});

test('nothing is ordered while everything stands still', () => {
  expect(driven(tick, release, stop, lost, settled(3), tick).orders).toEqual([]);
});

/**
 * A rig at the end of a slow line: what is ordered takes effect `delays` turns later, a halt ends the creep that moves then
 * and does nothing to one that is still on its way, and a creep's end is heard as late as anything else.
 */
class LateRig {
  moving: number | null = null;
  readonly #toRig: { at: number; order: HoldOrder }[] = [];
  readonly #toHost: { at: number; creepId: number }[] = [];
  #turn = 0;
  readonly #delays: readonly number[];
  #next = 0;

  constructor(delays: readonly number[]) {
    this.#delays = delays;
  }

  order(order: HoldOrder): void {
    this.#toRig.push({ at: this.#turn + this.#delay(), order });
  }

  /** One turn; gives the creeps whose end is heard now. */
  turn(): readonly number[] {
    this.#turn += 1;
    for (const { order } of take(this.#toRig, this.#turn)) {
      if (order.kind === 'creep') this.moving = order.creepId;
      if (order.kind === 'halt' && this.moving !== null) {
        this.#toHost.push({ at: this.#turn + this.#delay(), creepId: this.moving });
        this.moving = null;
      }
    }
    return take(this.#toHost, this.#turn).map(({ creepId }) => creepId);
  }

  #delay(): number {
    const delay = this.#delays[this.#next % this.#delays.length] ?? 0;
    this.#next += 1;
    return delay;
  }
}

function take<T extends { readonly at: number }>(queue: T[], turn: number): readonly T[] {
  const due = queue.filter(({ at }) => at <= turn);
  for (const item of due) queue.splice(queue.indexOf(item), 1);
  return due;
}

test('whatever is pressed and however late the line is, nothing moves once all keys are up', () => {
  const event = fc.constantFrom<HoldEvent>(press, other, release, stop, lost);
  const longestDelay = 12;
  fc.assert(
    fc.property(
      fc.array(event, { maxLength: 40 }),
      fc.array(fc.integer({ min: 0, max: longestDelay }), { minLength: 1, maxLength: 30 }),
      (events, delays) => {
        const rig = new LateRig(delays);
        let state = atRest;
        const send = (next: HoldEvent): void => {
          const step = holdStep(state, next);
          state = step.state;
          for (const order of step.orders) rig.order(order);
        };
        const turn = (): void => {
          for (const creepId of rig.turn()) send(settled(creepId));
          send(tick);
        };
        for (const next of events) {
          send(next);
          turn();
        }
        send(lost);
        // A creep on its way, the halt after it, and the answer back.
        for (let i = 0; i < 4 * longestDelay; i += 1) turn();
        expect(rig.moving).toBeNull();
        expect(state.phase).toBe('still');
      },
    ),
    { numRuns: 500 },
  );
});
