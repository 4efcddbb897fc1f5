import type { SideDoor } from './side-door.ts';
import type { ToolCut } from './tool.ts';

const number = '(\\d+(?:\\.\\d+)?)';
const tail = '(\\S+)(?:\\s+at\\s+(\\d+(?:\\.\\d+)?))?$';
const shave = new RegExp(`^cut\\s+shave\\s+(left|right)\\s+${number}\\s+${number}\\s+${number}\\s+${tail}`);
const plunge = new RegExp(`^cut\\s+plunge\\s+(left|right)\\s+${number}\\s+${number}\\s+${tail}`);

interface TypedCut {
  readonly cut: ToolCut;
  readonly toolId: string;
  /** Deepening, mm per second of rig time; null = at once. */
  readonly rateMmPerS: number | null;
}

/** A line that begins with `cut`: cuts the fader that is in the rig and says so. @throws SideDoorError */
export function cutForPerson(line: string, door: SideDoor): string {
  const text = line.trim();
  if (/^cut\s+stop$/.test(text)) {
    const depthMm = door.stopCutting();
    return depthMm === null ? 'nothing is being cut' : 'the cut has ended and stays as deep as it is';
  }
  const typed = typedCut(text);
  if (!typed) return `"${text}" is not understood; for example: cut shave left 30.5 34.5 0.42 blade-1`;
  const { fader } = door.moment();
  if (!fader) return 'no fader is in the rig; put one in first';
  const { cut, toolId, rateMmPerS } = typed;
  if (rateMmPerS === null) door.applyCuts(fader.index, [cut], toolId);
  else door.startCutting(fader.index, cut, toolId, rateMmPerS);
  return `${fader.serial} ${rateMmPerS === null ? 'was cut' : 'is being cut; "cut stop" ends it'}`;
}

function typedCut(text: string): TypedCut | null {
  const [, shaveSide, from, to, shaveDepth, shaveTool = '', shaveRate] = shave.exec(text) ?? [];
  if (shaveSide !== undefined) {
    const places = { fromMm: Number(from), toMm: Number(to), depthMm: Number(shaveDepth) };
    return { cut: { kind: 'shave', side: side(shaveSide), ...places }, toolId: shaveTool, rateMmPerS: rate(shaveRate) };
  }
  const [, plungeSide, at, depth, tool = '', plungeRate] = plunge.exec(text) ?? [];
  if (plungeSide === undefined) return null;
  const cut = { kind: 'plunge', side: side(plungeSide), atMm: Number(at), depthMm: Number(depth) } as const;
  return { cut, toolId: tool, rateMmPerS: rate(plungeRate) };
}

function side(text: string): 'left' | 'right' {
  return text === 'right' ? 'right' : 'left';
}

function rate(text: string | undefined): number | null {
  return text === undefined ? null : Number(text);
}
