import { describe, expect, test } from 'vitest';
import {
  afterVerdict,
  noPiece,
  readSerial,
  serialParts,
  taken,
  typed,
  withOffer,
} from '../../../renderer/screens/bench/job-slip.ts';

describe('the serial in the scan field', () => {
  test('a scan is cleaned of what scanners add and may be measured at once', () => {
    expect(taken(']C1pf104-26-48-00017\r')).toEqual({ text: 'PF104-26-48-00017', state: 'taken' });
  });

  test('a typed serial waits for its Enter', () => {
    expect(typed('PF104-26-48-00017').state).toBe('typed');
    expect(typed('')).toEqual(noPiece);
  });

  test('a label that is no serial is kept to be seen, and told apart', () => {
    expect(taken('BOX 12')).toEqual({ text: 'BOX 12', state: 'misread' });
    expect(readSerial('BOX 12').problem).toContain('not a serial number');
    expect(taken('  ')).toEqual(noPiece);
  });

  test('its part names the law', () => {
    expect(readSerial('GF60-26-48-00003').partLawId).toBe('GF-60');
    expect(readSerial('').problem).toBeNull();
  });

  test('the piece’s own number is the last block', () => {
    expect(serialParts('PF104-26-48-00017')).toEqual({ shared: 'PF104-26-48-', own: '00017' });
  });
});

describe('what the virtual rig offers', () => {
  const offered = { text: 'PF104-26-48-00002', state: 'offered' } as const;

  test('fills an empty field and follows the rig', () => {
    expect(withOffer(noPiece, offered.text)).toEqual(offered);
    expect(withOffer({ text: 'PF104-26-48-00001', state: 'offered' }, offered.text)).toEqual(offered);
  });

  test('never replaces what a person gave', () => {
    for (const state of ['typed', 'misread', 'taken', 'early'] as const) {
      const given = { text: 'PF104-26-48-00009', state };
      expect(withOffer(given, offered.text)).toBe(given);
      expect(withOffer(given, null)).toBe(given);
    }
  });

  test('goes when the virtual rig goes', () => {
    expect(withOffer(offered, null)).toEqual(noPiece);
  });
});

test('a piece scanned during a run waits its turn, so that the verdict is read first', () => {
  expect(afterVerdict({ text: 'PF104-26-48-00018', state: 'taken' }).state).toBe('early');
  expect(afterVerdict(noPiece)).toBe(noPiece);
});
