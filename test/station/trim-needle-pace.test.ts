import { describe, expect, it } from 'vitest';
import { paced } from '../../src/station/trim-needle-pace.ts';
import type { NeedleReadingView } from '../../src/station/trim-views.ts';

const live: NeedleReadingView = {
  serial: 'PF104-26-47-00001',
  cellIndex: 3,
  state: 'live',
  reason: null,
  parkedMm: 31,
  atMs: 0,
  ratio: 0.4,
  totalOhm: 9_800,
  startOhm: 100,
  nowOhm: 101,
  targetOhm: 120,
  stopOhm: 118,
  approach: 0.1,
  rateOhmPerS: 1,
  stop: false,
  over: false,
};

function screen(): { at: (ms: number, change?: Partial<NeedleReadingView>) => void; seen: NeedleReadingView[] } {
  let nowMs = 0;
  const seen: NeedleReadingView[] = [];
  const tell = paced(
    () => nowMs,
    (reading) => seen.push(reading),
  );
  return {
    seen,
    at(ms, change = {}) {
      nowMs = ms;
      tell({ ...live, ...change });
    },
  };
}

describe('readings on their way to the screen', () => {
  it('come 25 times a second at most, however fast the rig sends them', () => {
    const { at, seen } = screen();
    for (let ms = 0; ms < 1_000; ms += 2) at(ms, { nowOhm: 100 + ms / 100 });
    expect(seen).toHaveLength(25);
  });

  it('say stop, over, waiting, gone and ended at once', () => {
    const { at, seen } = screen();
    at(0, { state: 'waiting', reason: 'Open the guard.' });
    at(1);
    at(2, { nowOhm: null });
    at(3, { state: 'stop', stop: true });
    at(4, { state: 'stop', stop: true, over: true });
    at(5, { state: 'ended', reason: 'The operator closed the needle.', stop: true, over: true });
    expect(seen).toHaveLength(6);
  });
});
