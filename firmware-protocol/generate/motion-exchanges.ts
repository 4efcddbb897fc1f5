/** What a rig must answer: refusals, interlocks, motion locks. */
import {
  answered,
  express,
  glide,
  greet,
  home,
  longSense,
  order,
  power,
  ready,
  refused,
  send,
  shortSense,
  visit,
} from './exchange-steps.ts';
import type { ExchangeVector } from './vector-types.ts';

export function refusing(): ExchangeVector[] {
  return [
    {
      name: 'a refusal uses the number and is repeated',
      steps: [
        greet(0x0a00),
        send(order(0x0a01, 'dance', { x: 1 }), refused(0x0a01, 'word')),
        send(order(0x0a01, 'dance', { x: 1 }), { again: 1 }),
        send(order(0x0a02, 'sense', { t: 20_000 }), refused(0x0a02, 'field', 'n')),
        send(order(0x0a03, 'sense', { t: 20_000, n: 1, k: 2 }), refused(0x0a03, 'field', 'k')),
        send(order(0x0a04, 'sense', { t: 20_000, n: 0 }), refused(0x0a04, 'range', 'n')),
        send(order(0x0a04, 'sense', { t: 20_000, n: 1 }), { again: 5 }),
        send(shortSense(0x0a05), answered(0x0a05)),
      ],
    },
    {
      name: 'no motion without power, homing and travel',
      steps: [
        greet(0x0b00),
        send(visit(0x0b01, 2_000), refused(0x0b01, 'unpowered')),
        power(0x0b02, 1, 1),
        send(visit(0x0b03, 2_000), refused(0x0b03, 'unhomed')),
        home(0x0b04),
        send(visit(0x0b05, 999_999), refused(0x0b05, 'travel')),
        send(visit(0x0b06, 2_000), answered(0x0b06, { n: 1 })),
        send(visit(0x0b06, 2_000), { again: 6 }),
        power(0x0b07, 0, 0),
        power(0x0b08, 1, 1),
      ],
    },
    {
      name: 'guard and clamp; creep goes on with both open',
      steps: [
        ...ready,
        { ...send(visit(0x0013, 2_000), refused(0x0013, 'guard')), locks: { g: 0, e: 1, p: 1 } },
        { ...send(visit(0x0014, 2_000), refused(0x0014, 'clamp')), locks: { g: 1, e: 1, p: 0 } },
        {
          ...send(order(0x0015, 'creep', { x: 500, v: 1000 }), answered(0x0015, { m: 2, g: 0, p: 0 })),
          locks: { g: 0, e: 1, p: 0 },
        },
        { ...send(visit(0x0014, 2_000), refused(0x0014, 'turn')), locks: { g: 1, e: 1, p: 1 } },
        send(visit(0x0016, 2_000), answered(0x0016)),
      ],
    },
    {
      name: 'the emergency stop cuts motor power and the position is lost',
      steps: [
        ...ready,
        { ...send(express(1, 'beat'), answered(1, { m: 0, e: 0 })), locks: { g: 1, e: 0, p: 1 } },
        send(order(0x0013, 'power', { on: 1 }), refused(0x0013, 'estop')),
        send(visit(0x0014, 2_000), refused(0x0014, 'estop')),
        { ...send(visit(0x0015, 2_000), refused(0x0015, 'unpowered')), locks: { g: 1, e: 1, p: 1 } },
        power(0x0016, 1, 1),
      ],
    },
  ];
}

export function motionLocks(): ExchangeVector[] {
  return [
    {
      name: 'halt ends an order that only reads',
      steps: [
        greet(0x0c00),
        send(longSense(0x0c01)),
        send(express(7, 'halt'), answered(7, { m: 0, o: 0x0c01 }), refused(0x0c01, 'halted')),
        send(longSense(0x0c01), refused(0x0c01, 'halted')),
        send(shortSense(0x0c02), answered(0x0c02)),
      ],
    },
    {
      name: 'halt ends a motion and locks the next one until power on=1',
      steps: [
        ...ready,
        send(glide(0x0013)),
        send(express(8, 'halt'), answered(8, { o: 0x0013 }), refused(0x0013, 'halted')),
        send(express(9, 'halt'), answered(9, { m: 4 })),
        send(glide(0x0013), refused(0x0013, 'halted')),
        send(visit(0x0014, 2_000), refused(0x0014, 'halted')),
        send(shortSense(0x0015), answered(0x0015)),
        power(0x0016, 1, 2),
        send(visit(0x0017, 2_000), answered(0x0017)),
      ],
    },
    {
      name: 'silence ends a motion and locks the next one',
      steps: [
        ...ready,
        {
          ...send(glide(0x0013), { like: { kind: 'event', word: 'silent' } }, refused(0x0013, 'silent')),
          quiet: true,
        },
        send(glide(0x0013), refused(0x0013, 'silent')),
        send(visit(0x0014, 2_000), refused(0x0014, 'silent')),
        send(express(1, 'beat'), answered(1, { m: 4 })),
        power(0x0015, 1, 2),
      ],
    },
    {
      name: 'the guard opened in motion ends it; closing the guard alone does not unlock',
      steps: [
        ...ready,
        send(glide(0x0013)),
        { locks: { g: 0, e: 1, p: 1 }, expect: [refused(0x0013, 'guard')] },
        { ...send(visit(0x0014, 2_000), refused(0x0014, 'guard')), locks: { g: 1, e: 1, p: 1 } },
        power(0x0015, 1, 2),
        send(visit(0x0016, 2_000), answered(0x0016)),
      ],
    },
    {
      name: 'a new hello in motion brakes and locks',
      steps: [
        ...ready,
        send(glide(0x0013)),
        greet(0x7777),
        send(visit(0x7778, 2_000), refused(0x7778, 'halted')),
        power(0x7779, 1, 2),
        send(order(0x777a, 'park'), answered(0x777a, { m: 0 })),
      ],
    },
  ];
}
