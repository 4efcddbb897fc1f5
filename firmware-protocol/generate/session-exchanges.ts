/** What a rig must answer: numbering, repetition, sessions. */
import { formatLine } from '../codec/line.ts';
import {
  answered,
  express,
  greet,
  longSense,
  order,
  refused,
  send,
  shortSense,
  wait,
  working,
} from './exchange-steps.ts';
import type { ExchangeVector } from './vector-types.ts';

export function numbering(): ExchangeVector[] {
  return [
    {
      name: 'an order repeated after its answer gets the same bytes and is not executed again',
      steps: [
        greet(0x4c1d),
        send(shortSense(0x4c1e), answered(0x4c1e, { n: 1 })),
        send(shortSense(0x4c1e), { again: 1 }),
        send(shortSense(0x4c1e), { again: 1 }),
        send(shortSense(0x4c1f), answered(0x4c1f, { n: 1 })),
      ],
    },
    {
      name: 'an order in work: the same number is working, the next one busy, any other out of turn',
      steps: [
        greet(0x0100),
        send(longSense(0x0101)),
        send(longSense(0x0101), working(0x0101)),
        send(shortSense(0x0102), refused(0x0102, 'busy')),
        send(shortSense(0x0103), refused(0x0103, 'turn')),
        send(express(0x0009, 'beat'), answered(0x0009, { o: 0x0101 })),
        wait(answered(0x0101, { n: 25 })),
        send(longSense(0x0101), { again: 6 }),
        send(shortSense(0x0102), answered(0x0102, { n: 1 })),
      ],
    },
    {
      name: 'wrong numbers change nothing',
      steps: [
        greet(0x0200),
        send(shortSense(0x0202), refused(0x0202, 'turn')),
        send(shortSense(0x01ff), refused(0x01ff, 'turn')),
        send(shortSense(0x0200), refused(0x0200, 'turn')),
        send(shortSense(0x0201), answered(0x0201)),
        send(shortSense(0x0202), answered(0x0202)),
        send(shortSense(0x0201), refused(0x0201, 'turn')),
        send(shortSense(0x0202), { again: 5 }),
      ],
    },
    {
      name: 'numbers come round',
      steps: [
        greet(0xfffe),
        send(shortSense(0xffff), answered(0xffff)),
        send(shortSense(0x0000), answered(0x0000)),
        send(shortSense(0x0000), { again: 2 }),
        send(shortSense(0xffff), refused(0xffff, 'turn')),
      ],
    },
    {
      name: 'damaged lines are dropped without an answer',
      steps: [
        greet(0x0300),
        send(shortSense(0x0301).replace('n=1', 'n=3')),
        send('\n'),
        send(`${shortSense(0x0301).slice(0, -1)}\r\n`),
        send(`${'A'.repeat(300)}\n`),
        send(formatLine({ kind: 'answer', number: 0x0301 })),
        send(shortSense(0x0301), answered(0x0301, { n: 1 })),
      ],
    },
    {
      name: 'express lines use no order number',
      steps: [
        greet(0x0400),
        send(express(0x0401, 'beat'), answered(0x0401, { o: 0x0400 })),
        send(express(0x0401, 'beat'), answered(0x0401, { o: 0x0400 })),
        send(express(0xffff, 'beat'), answered(0xffff, { o: 0x0400 })),
        send(shortSense(0x0401), answered(0x0401)),
      ],
    },
  ];
}

export function sessions(): ExchangeVector[] {
  return [
    {
      name: 'before hello everything is asleep',
      steps: [
        send(shortSense(0x0001), refused(0x0001, 'asleep')),
        send(express(0x0002, 'beat'), refused(0x0002, 'asleep')),
        send(express(0x0003, 'halt'), refused(0x0003, 'asleep')),
        greet(0x0001),
        send(express(0x0002, 'beat'), answered(0x0002, { m: 0, g: 1, e: 1, p: 1, o: 1 })),
      ],
    },
    {
      name: 'a rig without a session says so',
      steps: [wait({ like: { kind: 'event', word: 'awake' } })],
    },
    {
      name: 'hello repeated before any order gets the same bytes; a late copy is out of turn',
      steps: [
        greet(0x0500),
        send(order(0x0500, 'hello', { v: 1 }), { again: 0 }),
        send(shortSense(0x0501), answered(0x0501)),
        send(order(0x0500, 'hello', { v: 1 }), refused(0x0500, 'turn')),
        send(shortSense(0x0502), answered(0x0502)),
      ],
    },
    {
      name: 'a new hello ends the session and forgets the order in work',
      steps: [
        greet(0x0600),
        send(longSense(0x0601)),
        greet(0x2222),
        send(longSense(0x0601), refused(0x0601, 'turn')),
        send(shortSense(0x0602), refused(0x0602, 'turn')),
        send(shortSense(0x2223), answered(0x2223, { n: 1 })),
      ],
    },
    {
      name: 'a refused hello leaves the session as it was',
      steps: [
        greet(0x0700),
        send(order(0x3333, 'hello', { v: 65_535 }), { like: { kind: 'refusal', number: 0x3333, word: 'version' } }),
        send(order(0x3333, 'hello'), refused(0x3333, 'field', 'v')),
        send(order(0x3333, 'hello', { v: 0 }), refused(0x3333, 'range', 'v')),
        send(shortSense(0x0701), answered(0x0701)),
      ],
    },
    {
      name: 'a restart ends the session',
      steps: [
        greet(0x0800),
        send(shortSense(0x0801), answered(0x0801)),
        { restart: true, expect: [{ like: { kind: 'event', word: 'awake' } }] },
        send(shortSense(0x0801), refused(0x0801, 'asleep')),
        send(shortSense(0x0802), refused(0x0802, 'asleep')),
        greet(0x0800),
      ],
    },
    {
      name: 'limits page by page until there is no more',
      steps: [
        greet(0x0900),
        send(order(0x0901, 'limits', { page: 0 }), answered(0x0901, { more: 1 })),
        send(order(0x0902, 'limits', { page: 99 }), refused(0x0902, 'range', 'page')),
      ],
    },
  ];
}
