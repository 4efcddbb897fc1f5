/** Every change to a draft can be taken back. Typing on in one cell is one change. Pure. */
import type { Draft } from './draft.ts';

export interface DraftHistory {
  readonly past: readonly Draft[];
  readonly now: Draft;
  readonly future: readonly Draft[];
  /** Which cell the last change typed in; null = not typing. */
  readonly typing: string | null;
}

const mostKept = 500;

export const beginHistory = (draft: Draft): DraftHistory => ({ past: [], now: draft, future: [], typing: null });

/** @param typing names the cell that is typed in; null for a change that stands alone */
export function changed(history: DraftHistory, next: Draft, typing: string | null = null): DraftHistory {
  const goesOn = typing !== null && typing === history.typing;
  const past = goesOn ? history.past : [...history.past, history.now].slice(-mostKept);
  return { past, now: next, future: [], typing };
}

export function undone(history: DraftHistory): DraftHistory {
  const before = history.past.at(-1);
  if (before === undefined) return history;
  return { past: history.past.slice(0, -1), now: before, future: [history.now, ...history.future], typing: null };
}

export function redone(history: DraftHistory): DraftHistory {
  const [after, ...future] = history.future;
  if (after === undefined) return history;
  return { past: [...history.past, history.now], now: after, future, typing: null };
}
