import { expect, test } from 'vitest';
import { cues } from '../../../renderer/sound/cues.ts';

const rhythm = (name: keyof typeof cues): string =>
  cues[name].map(({ lastsMs }) => (lastsMs < 60 ? 'tick' : lastsMs < 200 ? 'short' : 'long')).join(' ');

test('the cues are told apart by rhythm alone', () => {
  expect(rhythm('pass')).toBe('short');
  expect(rhythm('doubt')).toBe('short long');
  expect(rhythm('fail')).toBe('short short short');
  expect(rhythm('void')).toBe('long');
  expect(rhythm('scan')).toBe('tick');
});

test('only void falls, no cue lasts a second, and no two of its notes overlap', () => {
  for (const [name, notes] of Object.entries(cues)) {
    let endMs = 0;
    for (const note of notes) {
      expect(note.toHz < note.fromHz).toBe(name === 'void');
      expect(note.atMs).toBeGreaterThanOrEqual(endMs);
      endMs = note.atMs + note.lastsMs;
    }
    expect(endMs).toBeLessThan(1_000);
  }
});
