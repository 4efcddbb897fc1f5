import { describe, expect, test } from 'vitest';
import { numberText, sentenceText, signedText } from '../../../renderer/format/numbers.ts';

describe('numbers on the screen', () => {
  test('carry the true minus, fixed places and a dash for a gap', () => {
    expect(numberText(-0.426, 2)).toBe('−0.43');
    expect(signedText(0.5, 2)).toBe('+0.50');
    expect(numberText(-0.001, 2)).toBe('0.00');
    expect(numberText(null, 2)).toBe('–');
  });

  test('inside a sentence get the true minus; a serial, a part and a range of dates keep their hyphens', () => {
    expect(sentenceText('Point 12 (mark -10): -0.9 dB')).toBe('Point 12 (mark −10): −0.9 dB');
    const untouched = 'PF104-26-48-00017 follows PF-104 since 2026-11-25.';
    expect(sentenceText(untouched)).toBe(untouched);
  });
});
