import { judgeFader } from './judge-fader.ts';
import type { JudgeInput } from './readings.ts';

/** How far above both neighbours a point must stand, in its own U, to look like dirt rather than like track. */
const standsOut = 3;

/**
 * Points that are quieter than both their neighbours by more than a track explains: the picture of a speck of dirt
 * between wiper and track, which adds its resistance at one place only. (A fault of the track itself stays on one side:
 * everything below it shifts.) The open stop counts as a neighbour on the law; the lowest point has only one neighbour
 * and is left out.
 *
 * @returns indices of law points, the most striking first
 */
export function loneDeviations(
  input: Pick<JudgeInput, 'law' | 'limits' | 'readings'> & {
    readonly calibration: NonNullable<JudgeInput['calibration']>;
  },
): readonly number[] {
  const { calibration, law } = input;
  if (law.interpolation === 'stepped') return [];
  const { points } = judgeFader({
    ...input,
    rigSerial: calibration.rigSerial,
    measuredAtIso: calibration.madeAt,
    outcome: 'completed',
    outcomeReason: null,
  });
  const found: { readonly index: number; readonly share: number }[] = [];
  points.forEach((point, index) => {
    const below = points[index - 1]?.deviationDb ?? null;
    const above = index === points.length - 1 ? 0 : (points[index + 1]?.deviationDb ?? null);
    if (point.deviationDb === null || point.uncertaintyDb === null || below === null || above === null) return;
    const share = (point.deviationDb - Math.max(below, above)) / point.uncertaintyDb;
    if (share > standsOut) found.push({ index, share });
  });
  return found.sort((a, b) => b.share - a.share).map(({ index }) => index);
}
