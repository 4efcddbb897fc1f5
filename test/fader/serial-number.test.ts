import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatLot, lotOf, serialInLot } from '../../src/fader/lot.ts';
import {
  formatSerialNumber,
  isSerialNumber,
  parseSerialNumber,
  partName,
  partOfSerial,
  SerialNumberError,
} from '../../src/fader/serial-number.ts';

const serials = fc.record({
  part: fc.tuple(fc.stringMatching(/^[A-Z]{1,4}$/), fc.integer({ min: 0, max: 9999 })).map(([a, n]) => `${a}${n}`),
  year: fc.integer({ min: 0, max: 99 }),
  week: fc.integer({ min: 1, max: 53 }),
  running: fc.integer({ min: 1, max: 99_999 }),
});

describe('a serial number', () => {
  test('is read from its written form', () => {
    expect(parseSerialNumber('PF104-26-48-00017')).toEqual({ part: 'PF104', year: 26, week: 48, running: 17 });
  });

  test('goes to text and back unchanged', () => {
    fc.assert(
      fc.property(serials, (serial) => {
        expect(parseSerialNumber(formatSerialNumber(serial))).toEqual(serial);
      }),
    );
  });

  test('survives what scanners and keyboards add', () => {
    const noisy = [
      '\u0002PF104-26-48-00017\u0003\r\n',
      ' pf104-26-48-00017\t',
      ']C1PF104-26-48-00017',
      'PF104\u201326\u221248-00017',
    ];
    for (const text of noisy) expect(formatSerialNumber(parseSerialNumber(text))).toBe('PF104-26-48-00017');
  });

  test.each([
    ['', /nothing readable/],
    ['PF104-26-48-17', /five digits/],
    ['PF104-26-54-00017', /week must be 01 to 53/],
    ['PF104-26-00-00017', /week/],
    ['PF104-26-48-00000', /running number/],
    ['PF104-26-48-00017-9', /is not a serial number/],
    ['104-26-48-00017', /is not a serial number/],
  ])('"%s" is refused with a reason and a remedy', (text, reason) => {
    const attempt = (): unknown => parseSerialNumber(text);
    expect(attempt).toThrow(SerialNumberError);
    expect(attempt).toThrow(reason);
    expect(attempt).toThrow(/type it like/);
    expect(isSerialNumber(text)).toBe(false);
  });

  test('any text is either a serial number or refused as one, never anything else', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: fc.integer({ min: 0, max: 0x2fff }).map((code) => String.fromCharCode(code)) }),
        (text) => {
          try {
            parseSerialNumber(text);
          } catch (error) {
            expect(error).toBeInstanceOf(SerialNumberError);
          }
        },
      ),
    );
  });

  test('impossible fields are not written', () => {
    expect(() => formatSerialNumber({ part: 'PF104', year: 26, week: 60, running: 1 })).toThrow(SerialNumberError);
  });

  test('knows its lot, and the lot its pieces', () => {
    const serial = parseSerialNumber('PF104-26-48-00017');
    expect(formatLot(lotOf(serial))).toBe('PF104-26-48');
    expect(serialInLot(lotOf(serial), 16)).toEqual(serial);
  });

  test('its part is the law name without the dash', () => {
    expect(partOfSerial('PF-104')).toBe('PF104');
    expect(partName('GF60')).toBe('GF-60');
    expect(() => partName('104')).toThrow(SerialNumberError);
  });
});
