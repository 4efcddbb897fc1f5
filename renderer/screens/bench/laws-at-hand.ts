/** The laws that the slip offers and the drawings need. */
import type { LawData } from '../../../src/law/law.ts';
import { callCore } from '../../bridge/calls.ts';
import { attempt, settingsStore } from '../../bridge/station.ts';
import { makeStore } from '../../bridge/store.ts';
import { chosenLaw } from './job-slip.ts';

/** Null until they were read. */
export const lawsStore = makeStore<readonly LawData[] | null>(null);

export async function readLaws(): Promise<void> {
  const listed = await attempt(() => callCore('law.list', {}));
  if (listed === null) return;
  const laws = listed.map(({ data }) => data);
  lawsStore.set(laws);
  const known = (id: string | null | undefined): boolean => laws.some((law) => law.id === id);
  if (known(chosenLaw.get())) return;
  const last = settingsStore.get()?.lastLawId;
  chosenLaw.set(known(last) ? (last ?? null) : (newestLaws(laws)[0]?.id ?? null));
}

/** One law an id, in its newest revision, in the order of the list. */
export function newestLaws(laws: readonly LawData[]): readonly LawData[] {
  const newest = new Map<string, LawData>();
  for (const law of laws) {
    const before = newest.get(law.id);
    if (before === undefined || law.revision > before.revision) newest.set(law.id, law);
  }
  return [...newest.values()];
}

/** @param revision null = the newest */
export function lawOf(laws: readonly LawData[], id: string | null, revision: number | null): LawData | null {
  const found =
    revision === null
      ? newestLaws(laws).find((law) => law.id === id)
      : laws.find((law) => law.id === id && law.revision === revision);
  return found ?? null;
}
