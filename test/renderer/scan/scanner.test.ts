import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { watchScans } from '../../../renderer/scan/scanner.ts';

/** Types a text and Enter with one gap between the keys. */
function type(text: string, gapMs: number, watch = watchScans(), fromMs = 1_000): readonly string[] {
  const scans: string[] = [];
  [...text, 'Enter'].forEach((key, index) => {
    const scan = watch.onKey({ key, atMs: fromMs + index * gapMs });
    if (scan !== null) scans.push(scan);
  });
  return scans;
}

describe('a scanner', () => {
  test('is known by its speed: the whole serial comes out once', () => {
    expect(type('PF104-26-48-00017', 8)).toEqual(['PF104-26-48-00017']);
  });

  test('may hesitate once, as on a busy machine', () => {
    const watch = watchScans();
    let at = 0;
    let scan: string | null = null;
    for (const key of [...'PF104-26-48-00017', 'Enter']) {
      at += key === '8' ? 120 : 6;
      scan = watch.onKey({ key, atMs: at });
    }
    expect(scan).toBe('PF104-26-48-00017');
  });

  test('may press Shift for its capitals', () => {
    const watch = watchScans();
    let at = 0;
    let scan: string | null = null;
    for (const key of ['Shift', 'P', 'Shift', 'F', '1', '0', '4', '-', '2', '6', 'Enter']) {
      at += 6;
      scan = watch.onKey({ key, atMs: at });
    }
    expect(scan).toBe('PF104-26');
  });

  test('read twice gives two scans, none grown together', () => {
    const watch = watchScans();
    expect(type('PF104-26-48-00017', 5, watch, 0)).toHaveLength(1);
    expect(type('PF104-26-48-00018', 5, watch, 400)).toEqual(['PF104-26-48-00018']);
  });

  test('what a hand typed before it does not get into the scan', () => {
    const watch = watchScans();
    watch.onKey({ key: 'x', atMs: 0 });
    watch.onKey({ key: 'y', atMs: 180 });
    expect(type('PF104-26-48-00017', 5, watch, 400)).toEqual(['PF104-26-48-00017']);
  });
});

describe('a hand', () => {
  test('never makes a scan, whatever it types', () => {
    fc.assert(
      fc.property(fc.string({ minLength: 1, maxLength: 40 }), fc.integer({ min: 60, max: 400 }), (text, gapMs) => {
        expect(type(text, gapMs)).toEqual([]);
      }),
    );
  });

  test('pressing Enter alone, or a pedal twice, is no scan', () => {
    expect(type('', 5)).toEqual([]);
    const watch = watchScans();
    expect(watch.onKey({ key: 'Enter', atMs: 0 })).toBeNull();
    expect(watch.onKey({ key: 'Enter', atMs: 10 })).toBeNull();
  });

  test('a scan that stopped half-way is not completed by a later Enter', () => {
    const watch = watchScans();
    for (const [index, key] of [...'PF104-26'].entries()) watch.onKey({ key, atMs: index * 5 });
    expect(watch.onKey({ key: 'Enter', atMs: 5_000 })).toBeNull();
  });
});

test('any printable text of six signs or more that a scanner sends comes out unchanged', () => {
  const sign = fc.string({ minLength: 1, maxLength: 1, unit: fc.constantFrom(...'ABCXYZ0123456789-./ +$%') });
  fc.assert(
    fc.property(fc.array(sign, { minLength: 6, maxLength: 40 }), fc.integer({ min: 0, max: 34 }), (signs, gapMs) => {
      expect(type(signs.join(''), gapMs)).toEqual([signs.join('')]);
    }),
  );
});
