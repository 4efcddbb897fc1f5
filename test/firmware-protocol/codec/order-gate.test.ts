import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatLine, OrderGate, parseLine, type WireLine } from '../../../firmware-protocol/codec/index.ts';

function order(number: number, word = 'sense'): WireLine {
  return { kind: 'order', number, word, fields: {}, texts: {}, values: [] };
}

/** A rig that counts what it executes; work takes as many ticks as asked. */
class CountingRig {
  readonly executed: number[] = [];
  private readonly gate = new OrderGate();
  private readonly workTicks: number;
  private left = 0;

  constructor(workTicks: number) {
    this.workTicks = workTicks;
  }

  receive(line: WireLine): string[] {
    const decision = this.gate.admit(line);
    if (decision.act === 'greet') {
      const answer = formatLine({ kind: 'answer', number: line.number, fields: { v: 1 } });
      this.gate.open(line.number, answer);
      return [answer];
    }
    if (decision.act === 'execute') {
      this.executed.push(line.number);
      this.left = this.workTicks;
      return this.left === 0 ? this.finish() : [];
    }
    if (decision.act === 'repeat') return [decision.answer];
    if (decision.act === 'working') return [formatLine({ kind: 'working', number: line.number })];
    if (decision.act === 'refuse') {
      return [formatLine({ kind: 'refusal', number: line.number, word: decision.code })];
    }
    return [];
  }

  tick(): string[] {
    if (!this.gate.inWork) return [];
    this.left -= 1;
    return this.left > 0 ? [] : this.finish();
  }

  private finish(): string[] {
    // The answer names its execution, so that an answer of another order would be noticed.
    const n = this.executed.length;
    const answer = formatLine({ kind: 'answer', number: this.gate.lastOrder, fields: { n } });
    this.gate.finish(answer);
    return [answer];
  }
}

/** What the line does to one message: lost, or one or more copies. */
const fate = fc.constantFrom(1, 1, 1, 0, 2, 3);

describe('numbering', () => {
  test('over a line that loses and doubles, each answered order was executed exactly once, in turn', () => {
    const input = fc.record({
      start: fc.integer({ min: 0, max: 0xffff }),
      orders: fc.integer({ min: 1, max: 12 }),
      workTicks: fc.integer({ min: 0, max: 6 }),
      fates: fc.infiniteStream(fate),
    });
    fc.assert(
      fc.property(input, ({ start, orders, workTicks, fates }) => {
        const rig = new CountingRig(workTicks);
        const toRig: WireLine[] = [];
        const toStation: string[] = [];
        const through = <Message>(queue: Message[], message: Message): void => {
          const copies = fates.next().value ?? 1;
          for (let copy = 0; copy < copies; copy += 1) queue.push(message);
        };
        for (let index = 0; index <= orders; index += 1) {
          const line = order((start + index) % 65_536, index === 0 ? 'hello' : 'sense');
          let answer: WireLine | null = null;
          for (let tick = 0; answer === null; tick += 1) {
            if (tick > 5000) throw new Error('the exchange never ends');
            if (tick % 3 === 0) through(toRig, line);
            const arriving = toRig.shift();
            if (arriving) for (const reply of rig.receive(arriving)) through(toStation, reply);
            for (const reply of rig.tick()) through(toStation, reply);
            const reply = toStation.shift();
            const parsed = reply === undefined ? null : parseLine(reply.slice(0, -1));
            if (parsed?.ok && parsed.line.kind === 'answer' && parsed.line.number === line.number) answer = parsed.line;
          }
          if (index > 0) expect(answer.fields.n).toBe(index);
        }
        const numbers = Array.from({ length: orders }, (_, index) => (start + 1 + index) % 65_536);
        expect(rig.executed).toEqual(numbers);
      }),
      { numRuns: 500 },
    );
  });

  test('whatever arrives, no number is executed twice within a session and none out of turn', () => {
    const event = fc.oneof(
      fc.record({ what: fc.constant('order' as const), number: fc.integer({ min: 0, max: 12 }) }),
      fc.record({ what: fc.constant('hello' as const), number: fc.integer({ min: 0, max: 12 }) }),
      fc.record({ what: fc.constant('finish' as const), number: fc.constant(0) }),
      fc.record({ what: fc.constant('restart' as const), number: fc.constant(0) }),
    );
    fc.assert(
      fc.property(fc.array(event, { maxLength: 60 }), (happenings) => {
        const gate = new OrderGate();
        let session: number | null = null;
        let expected = 0;
        for (const { what, number } of happenings) {
          if (what === 'finish') {
            if (gate.inWork) gate.finish('done');
          } else if (what === 'restart') {
            gate.reset();
            session = null;
          } else {
            const decision = gate.admit(order(number, what === 'hello' ? 'hello' : 'sense'));
            if (decision.act === 'greet') {
              expect(number).not.toBe(session);
              gate.open(number, 'hi');
              session = number;
              expected = number + 1;
            } else if (decision.act === 'execute') {
              expect(session).not.toBeNull();
              expect(number).toBe(expected);
              expected += 1;
            } else if (session === null) expect(decision).toEqual({ act: 'refuse', code: 'asleep' });
          }
        }
      }),
      { numRuns: 2000 },
    );
  });

  test('its own echo is nothing to a rig', () => {
    const gate = new OrderGate();
    expect(gate.admit({ ...order(1), kind: 'answer', word: null })).toEqual({ act: 'ignore' });
  });

  test('nothing can be finished that is not in work', () => {
    const gate = new OrderGate();
    expect(() => gate.finish('done')).toThrow(RangeError);
    gate.open(5, 'hi');
    expect(() => gate.finish('done')).toThrow(RangeError);
  });
});
