/**
 * The tone of the live needle: it rises with nearness, and so does its beat, so that it is understood by rhythm too.
 * Pure data.
 */
export interface NeedleTone {
  readonly hz: number;
  /** From the beginning of one beat to the next, ms; null = one held tone. */
  readonly beatMs: number | null;
}

const farHz = 220;
/** Two octaves up at the stop line. */
const octaves = 2;
const farBeatMs = 900;
const nearBeatMs = 110;

/**
 * @param nearness 0 = nothing cut yet, 1 = at the stop line, beyond it the same; null = no fresh reading
 * @returns null = silence, because nothing is known
 */
export function needleTone(nearness: number | null): NeedleTone | null {
  if (nearness === null || !Number.isFinite(nearness)) return null;
  const near = Math.min(1, Math.max(0, nearness));
  return {
    hz: farHz * 2 ** (octaves * near),
    beatMs: near >= 1 ? null : farBeatMs * (nearBeatMs / farBeatMs) ** near,
  };
}
