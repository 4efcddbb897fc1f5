/** The look's colours as a canvas needs them, read from the tokens so that there is one source. */
export interface ChartPalette {
  readonly ground: string;
  readonly plate: string;
  readonly well: string;
  readonly rule: string;
  readonly edge: string;
  readonly ink: string;
  readonly inkSoft: string;
  readonly accent: string;
  readonly hatch: string;
  readonly grain: string;
  readonly pass: string;
  readonly doubt: string;
  readonly fail: string;
  readonly void: string;
  readonly textFace: string;
  readonly plateFace: string;
  readonly smallPx: number;
}

export function readPalette(root: HTMLElement = document.documentElement): ChartPalette {
  const style = getComputedStyle(root);
  const token = (name: string): string => style.getPropertyValue(name).trim();
  return {
    ground: token('--ground'),
    plate: token('--plate'),
    well: token('--well'),
    rule: token('--rule'),
    edge: token('--edge'),
    ink: token('--ink'),
    inkSoft: token('--ink-soft'),
    accent: token('--accent'),
    hatch: token('--hatch'),
    grain: token('--grain'),
    pass: token('--pass'),
    doubt: token('--doubt'),
    fail: token('--fail'),
    void: token('--void'),
    textFace: token('--face-text'),
    plateFace: token('--face-plate'),
    smallPx: Number.parseFloat(token('--t-small')) || 15,
  };
}
