import type { FilmCut, FilmEdge } from '../../src/fader/cuts.ts';
import type { Random } from '../../src/fader/random.ts';
import type { RigParameters } from './parameters-schema.ts';

/** A cut as it is asked for; further fields are ignored. Places in mm from the closed stop, depth from the edge as it is. */
export type ToolCut =
  | {
      readonly kind: 'shave';
      readonly side: FilmEdge;
      readonly fromMm: number;
      readonly toMm: number;
      readonly depthMm: number;
    }
  | { readonly kind: 'plunge'; readonly side: FilmEdge; readonly atMm: number; readonly depthMm: number };

/** No sound tool cuts less than a fifth of what it is set to. */
const leastGain = 0.2;

/** Depth really cut over depth set, of one tool; the same whenever it is asked for. */
export function toolGain(toolId: string, random: Random, tool: RigParameters['tool']): number {
  return Math.max(leastGain, 1 + random.sub('gain', toolId).bounded(0, tool.gainSd));
}

/** How one cut comes out. `cut` draws for this cut alone. */
export function cutWithTool(
  asked: ToolCut,
  toolId: string,
  random: Random,
  cut: Random,
  tool: RigParameters['tool'],
): FilmCut {
  const set = Math.round(asked.depthMm / tool.depthStepMm) * tool.depthStepMm;
  const scatter = Math.max(leastGain, 1 + cut.bounded(0, tool.cutSd));
  const depthMm = set * toolGain(toolId, random, tool) * scatter;
  const shiftMm = cut.bounded(0, tool.placeSdMm);
  return asked.kind === 'shave'
    ? { kind: 'shave', side: asked.side, fromMm: asked.fromMm + shiftMm, toMm: asked.toMm + shiftMm, depthMm }
    : { kind: 'plunge', side: asked.side, atMm: asked.atMm + shiftMm, depthMm };
}

/** Why a cut cannot be made on film this wide, for a person; null = it can. */
export function cutProblem(cut: ToolCut, travelMm: number, widthMm: number): string | null {
  const places = cut.kind === 'shave' ? [cut.fromMm, cut.toMm] : [cut.atMm];
  if (![...places, cut.depthMm].every(Number.isFinite)) return 'place and depth must be numbers';
  if (places.some((mm) => mm < 0 || mm > travelMm)) return `places lie from 0 to ${travelMm} mm`;
  if (cut.kind === 'shave' && !(cut.fromMm < cut.toMm)) return 'a shave begins below where it ends';
  if (!(cut.depthMm > 0 && cut.depthMm < widthMm)) return `a depth is above 0 and below the film's ${widthMm} mm`;
  return null;
}
