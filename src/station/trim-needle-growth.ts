/** Whether the cell under an open needle was cut at all. */
import type { NeedleReadingView } from './trim-views.ts';

/** Share of what was wanted above which a cell counts as cut. */
const cutShare = 0.1;
/** Readings that must agree: one alone may be noise. */
const agreeing = 3;

export class CellGrowth {
  #above = 0;
  #isCut = false;

  /** Stays true: film does not come back. */
  get isCut(): boolean {
    return this.#isCut;
  }

  see({ state, nowOhm, startOhm, targetOhm }: NeedleReadingView): void {
    if ((state !== 'live' && state !== 'stop') || nowOhm === null) return;
    this.#above = nowOhm - startOhm > cutShare * (targetOhm - startOhm) ? this.#above + 1 : 0;
    if (this.#above >= agreeing) this.#isCut = true;
  }
}
