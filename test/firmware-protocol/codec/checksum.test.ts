import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { describe, expect, test } from 'vitest';
import { crc16, crcHex, formatLine, parseLine } from '../../../firmware-protocol/codec/index.ts';

/** The two forms that SPEC.md gives to a firmware author, with C's 16-bit arithmetic. */
function bitwise(text: string): number {
  let crc = 0xffff;
  for (const byte of Buffer.from(text, 'latin1')) {
    crc ^= byte << 8;
    for (let bit = 0; bit < 8; bit += 1) crc = (crc & 0x8000 ? (crc << 1) ^ 0x1021 : crc << 1) & 0xffff;
  }
  return crc;
}

const nibbles = [
  0x0000, 0x1021, 0x2042, 0x3063, 0x4084, 0x50a5, 0x60c6, 0x70e7, 0x8108, 0x9129, 0xa14a, 0xb16b, 0xc18c, 0xd1ad,
  0xe1ce, 0xf1ef,
];
function byNibbles(text: string): number {
  let crc = 0xffff;
  for (const byte of Buffer.from(text, 'latin1')) {
    crc = ((crc << 4) ^ (nibbles[(crc >> 12) ^ (byte >> 4)] ?? Number.NaN)) & 0xffff;
    crc = ((crc << 4) ^ (nibbles[(crc >> 12) ^ (byte & 15)] ?? Number.NaN)) & 0xffff;
  }
  return crc;
}

const longLines = [
  formatLine({
    kind: 'answer',
    number: 0xffff,
    fields: {
      x: 999_999,
      c: 4_294_967_295,
      k: 8_388_607,
      s: -9_999_999,
      q: 4_294_967_295,
      r: 8_388_607,
      z: -999_999,
      n: 99,
      o: 1,
    },
  }),
  formatLine({
    kind: 'answer',
    number: 0x00fe,
    fields: { v: 1, lo: 1, hi: 1, sim: 0 },
    texts: { rig: 'J.0001', fw: 'J' },
  }),
  formatLine({ kind: 'sample', number: 7, values: [52_340, 1_839_203, 4_195_022] }),
  formatLine({ kind: 'express', number: 0, word: 'beat' }),
].map((line) => line.slice(0, -1));

describe('checksum', () => {
  test('published check value', () => {
    // Catalogue of parametrised CRC algorithms, entry CRC-16/IBM-3740 (alias CRC-16/CCITT-FALSE): check 0x29b1.
    expect(crc16('123456789')).toBe(0x29b1);
    expect(crcHex('123456789')).toBe('29B1');
  });

  test("the specification's bitwise and nibble forms agree with the codec's", () => {
    for (const text of ['', 'A', ...longLines, '\u00ff\u0080\u0000']) {
      expect(bitwise(text)).toBe(crc16(text));
      expect(byNibbles(text)).toBe(crc16(text));
    }
  });

  test.each(longLines)('every single and every double bit error is caught: %s', (text) => {
    const bytes = Buffer.from(text, 'latin1');
    const bits = bytes.length * 8;
    const flip = (bit: number): void => {
      bytes[bit >> 3] = (bytes[bit >> 3] ?? 0) ^ (1 << (bit & 7));
    };
    // A flip may make an LF, so each piece counts as a line of its own.
    const passes = (): boolean =>
      bytes
        .toString('latin1')
        .split('\n')
        .some((piece) => parseLine(piece).ok);
    const passed: number[][] = [];
    expect(passes()).toBe(true);
    for (let first = 0; first < bits; first += 1) {
      flip(first);
      if (passes()) passed.push([first]);
      for (let second = first + 1; second < bits; second += 1) {
        flip(second);
        if (passes()) passed.push([first, second]);
        flip(second);
      }
      flip(first);
    }
    expect(passed).toEqual([]);
  });

  test.each(longLines)('every wrong byte is caught, also one that makes an LF: %s', (text) => {
    const passed: string[] = [];
    for (let index = 0; index < text.length; index += 1) {
      for (let code = 0; code < 256; code += 1) {
        if (code === text.charCodeAt(index)) continue;
        const damaged = text.slice(0, index) + String.fromCharCode(code) + text.slice(index + 1);
        passed.push(...damaged.split('\n').filter((piece) => parseLine(piece).ok));
      }
    }
    expect(passed).toEqual([]);
  });

  test('lines that lost the LF between them are never taken, whatever took its place', () => {
    const passed: string[] = [];
    for (const first of longLines) {
      for (const second of longLines) {
        for (let code = 0; code < 256; code += 1) {
          const merged = `${first}${String.fromCharCode(code)}${second}`;
          if (code !== 0x0a && parseLine(merged).ok) passed.push(merged);
        }
        if (parseLine(first + second).ok) passed.push(first + second);
      }
    }
    expect(passed).toEqual([]);
  });

  test('noise in the shape of a line passes once in 65,536', () => {
    // Sample lines with random values and a random checksum: only the checksum is left to tell them apart.
    const random = xoroshiro128plus(20_261_126);
    const word = (): number => random.next() >>> 0;
    const hex = (value: number): string => (value & 0xffff).toString(16).toUpperCase().padStart(4, '0');
    const trials = 2_000_000;
    let passed = 0;
    for (let trial = 0; trial < trials; trial += 1) {
      const text = `.${hex(word())} ${word() % 110_000} ${word()} ${word() & 0x7fffff} ${hex(word() >>> 8)}`;
      if (parseLine(text).ok) passed += 1;
    }
    const expected = trials / 65_536;
    // Poisson with mean 31: outside +-4 standard deviations once in 16,000 seeds; this seed is fixed.
    expect(passed).toBeGreaterThan(expected - 4 * Math.sqrt(expected));
    expect(passed).toBeLessThan(expected + 4 * Math.sqrt(expected));
  });

  test('printable noise never passes: the shape refuses what the checksum lets through', () => {
    const random = xoroshiro128plus(71);
    let passed = 0;
    for (let trial = 0; trial < 200_000; trial += 1) {
      const codes = Array.from({ length: 10 + (trial % 80) }, () => 0x20 + ((random.next() >>> 4) % 95));
      const body = String.fromCharCode(...codes);
      if (parseLine(`${body} ${crcHex(body)}`).ok) passed += 1;
    }
    expect(passed).toBe(0);
  });
});
