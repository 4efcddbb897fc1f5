/** What is to become of a law that was read from a file. A kept revision never changes, so a file can only add one. Pure. */
import type { LawData } from '../../../src/law/law.ts';
import { isSameLaw, type KeptLaw, nextRevision } from './law-library.ts';

export interface ImportPlan {
  readonly kind: 'new' | 'next' | 'same';
  /** The law with the revision number it will get, or the kept one when it is the same. */
  readonly law: LawData;
  readonly sentence: string;
}

export function importPlan(kept: readonly KeptLaw[], read: LawData): ImportPlan {
  const family = kept.filter((entry) => entry.data.id === read.id).map((entry) => entry.data);
  const same = family.find((law) => isSameLaw(law, read));
  if (same !== undefined) {
    return {
      kind: 'same',
      law: same,
      sentence: `The file says exactly what ${same.id} revision ${same.revision} says. Nothing is to be kept.`,
    };
  }
  if (family.length === 0) {
    return { kind: 'new', law: read, sentence: `A new law, ${read.id} revision ${read.revision}.` };
  }
  const revision = nextRevision(kept, read.id);
  if (read.revision >= revision) {
    return { kind: 'next', law: read, sentence: `${read.id} gets revision ${read.revision}, as the file says.` };
  }
  return {
    kind: 'next',
    law: { ...read, revision },
    sentence: `The file says revision ${read.revision}. Numbers up to ${revision - 1} are taken and never change, so it becomes revision ${revision}.`,
  };
}
