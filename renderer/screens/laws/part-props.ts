/** What each part of the draft's editor is given. */
import type { CheckedDraft, Draft } from './draft.ts';

/** Takes a changed draft; `typing` names the cell when it is one keystroke of many. */
export type ChangeDraft = (next: Draft, typing?: string | null) => void;

export interface PartProps {
  readonly draft: Draft;
  readonly checked: CheckedDraft;
  readonly change: ChangeDraft;
}
