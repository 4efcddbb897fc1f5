/** The soft cues of the bench, told apart by rhythm and not by pitch alone. Pure data. */
export type CueName = 'pass' | 'doubt' | 'fail' | 'void' | 'scan';

export interface Note {
  /** After the beginning of the cue, ms. */
  readonly atMs: number;
  readonly lastsMs: number;
  readonly fromHz: number;
  /** Reached at its end; equal to `fromHz` for a steady note. */
  readonly toHz: number;
}

const steady = (atMs: number, lastsMs: number, hz: number): Note => ({ atMs, lastsMs, fromHz: hz, toHz: hz });

export const cues: Readonly<Record<CueName, readonly Note[]>> = {
  pass: [steady(0, 120, 660)],
  doubt: [steady(0, 110, 520), steady(190, 380, 520)],
  fail: [steady(0, 110, 390), steady(190, 110, 390), steady(380, 110, 390)],
  void: [{ atMs: 0, lastsMs: 620, fromHz: 480, toHz: 240 }],
  scan: [steady(0, 25, 1_200)],
};
