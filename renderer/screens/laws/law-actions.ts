/** What the keys of the Laws screen do. */
import { toErrorData } from '../../../src/contract/errors.ts';
import { callCore, callShell } from '../../bridge/calls.ts';
import { attempt, showTrouble } from '../../bridge/station.ts';
import { checkDraft, draftOf } from './draft.ts';
import { beginHistory } from './draft-history.ts';
import { importPlan } from './import-plan.ts';
import { findKept, type LawKey, lawLibrary, nextRevision, readLaws } from './law-library.ts';
import { chosenLaw, editing, laidRevision, lawNote, refusedFile } from './laws-state.ts';

export function choose(key: LawKey): void {
  if (chosenLaw.get()?.id !== key.id || chosenLaw.get()?.revision === key.revision) laidRevision.set(null);
  chosenLaw.set(key);
  if (laidRevision.get() === key.revision) laidRevision.set(null);
  refusedFile.set(null);
  lawNote.set(null);
}

/** Opens the chosen revision as a draft of the next one. */
export function beginEdit(): void {
  const kept = lawLibrary.get() ?? [];
  const base = findKept(kept, chosenLaw.get());
  if (base === null) return;
  const { id, revision } = base.data;
  const history = beginHistory(draftOf(base.data, nextRevision(kept, id)));
  editing.set({ history, base: { id, revision }, origin: `from revision ${revision}` });
  lawNote.set(null);
}

/** Keeps the draft as a new revision; the ones before stay as they are. */
export async function keepDraft(): Promise<void> {
  const now = editing.get();
  if (now === null) return;
  const { law } = checkDraft(now.history.now);
  if (law === null) return;
  const stored = await attempt(() => callCore('law.store', { law }));
  if (stored === null) return;
  await readLaws();
  editing.set(null);
  choose({ id: law.id, revision: law.revision });
  if (now.base !== null && now.base.id === law.id) laidRevision.set(now.base.revision);
  lawNote.set(`Kept as ${law.id} revision ${law.revision}. From now on it never changes.`);
}

/** A law file, or a file of points for the chosen law, read and checked; what is good opens as a draft. */
export async function importFile(): Promise<void> {
  const file = await attempt(() =>
    callShell('file.open', {
      title: 'Choose a law file or a file of points',
      filters: [
        { name: 'Law or points', extensions: ['json', 'csv'] },
        { name: 'All files', extensions: ['*'] },
      ],
    }),
  );
  if (file === null) return;
  refusedFile.set(null);
  lawNote.set(null);
  const baseLawId = chosenLaw.get()?.id ?? null;
  try {
    const checked = await callCore('law.check', { name: file.name, text: file.text, baseLawId });
    if (checked.kind === 'points') {
      refusedFile.set({
        name: file.name,
        message: `The file is sound: ${checked.points} points, ${checked.marks} marks. Points alone are no law: choose the law they belong to at the left, then take the file in again.`,
        details: [],
      });
      return;
    }
    const kept = lawLibrary.get() ?? [];
    const plan = importPlan(kept, checked.law);
    if (plan.kind === 'same') {
      choose({ id: plan.law.id, revision: plan.law.revision });
      lawNote.set(plan.sentence);
      return;
    }
    const newest = nextRevision(kept, plan.law.id) - 1;
    const base = newest === 0 ? null : { id: plan.law.id, revision: newest };
    if (base !== null) choose(base);
    editing.set({
      history: beginHistory(draftOf(plan.law, plan.law.revision)),
      base,
      origin: `from ${file.name}. ${plan.sentence}`,
    });
  } catch (error) {
    const data = toErrorData(error);
    if (!data.userFixable) showTrouble(error);
    else refusedFile.set({ name: file.name, message: headline(data.message, data.details), details: data.details });
  }
}

/** The first sentence of a message whose problems are listed one by one below it. */
export function headline(message: string, details: readonly string[]): string {
  if (details.length === 0) return message;
  const end = message.search(/[.:]\s/);
  return end < 0 ? message : `${message.slice(0, end)}.`;
}

/** Saves a kept revision where the person wants it. */
export async function saveAsFile(key: LawKey, form: 'json' | 'csv'): Promise<void> {
  const filters = [form === 'json' ? { name: 'Law', extensions: ['json'] } : { name: 'Points', extensions: ['csv'] }];
  const suggestedName = `${key.id}-revision-${key.revision}.${form}`;
  const place = await attempt(() => callShell('file.choosePath', { title: 'Save the law', suggestedName, filters }));
  if (place === null) return;
  const saved = await attempt(() => callCore('law.write', { ...key, form, path: place.path }));
  if (saved !== null) lawNote.set(`Saved as ${place.path}.`);
}
