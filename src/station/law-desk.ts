/** The law library: examples put in at first start, files checked, revisions kept and found. */
import type { Archive } from '../archive/archive.ts';
import { buildLaw, type Law } from '../law/build.ts';
import { writePointsCsv } from '../law/csv.ts';
import { exampleLaws } from '../law/examples.ts';
import { writeLawJson } from '../law/json.ts';
import type { LawData } from '../law/law.ts';
import { readLawFile } from '../law/law-file.ts';
import { UnknownLawError } from './errors.ts';

export interface KeptLaw {
  readonly data: LawData;
  readonly runs: number;
}

/** Puts the example laws into a new archive. One changed by a later program version comes as a new revision only. */
export function storeExamples(archive: Archive): void {
  const known = new Set(archive.lawRevisions().map(({ id, revision }) => `${id}/${revision}`));
  for (const law of exampleLaws()) {
    if (!known.has(`${law.id}/${law.revision}`)) archive.storeLaw({ id: law.id, revision: law.revision, data: law });
  }
}

/** @throws LawInvalidError when the archive holds something that is no law. */
export function keptLaws(archive: Archive): KeptLaw[] {
  return archive.lawRevisions().map(({ id, revision, runs }) => ({ data: readKept(archive, id, revision), runs }));
}

/** The revision asked for, or the newest. @throws UnknownLawError */
export function findLaw(archive: Archive, id: string, revision: number | null): Law {
  const revisions = archive.lawRevisions().filter((entry) => entry.id === id);
  const wanted = revision ?? Math.max(0, ...revisions.map((entry) => entry.revision));
  if (!revisions.some((entry) => entry.revision === wanted)) {
    const known = archive.lawRevisions().map((entry) => `${entry.id} revision ${entry.revision}`);
    throw new UnknownLawError(id, revision, known);
  }
  return readKept(archive, id, wanted);
}

function readKept(archive: Archive, id: string, revision: number): Law {
  const stored = archive.law(id, revision);
  if (stored === null) throw new UnknownLawError(id, revision, []);
  return buildLaw(stored.data);
}

export type CheckedLawFile =
  | { readonly kind: 'law'; readonly law: Law }
  | { readonly kind: 'points'; readonly points: number; readonly marks: number };

/**
 * Reads a law file. Points alone become the next revision of the base law; without a base they are only checked,
 * because resistance and end limits would have to be invented.
 * @throws LawFileError, LawInvalidError, UnknownLawError
 */
export function checkLawFile(archive: Archive, name: string, text: string, baseLawId: string | null): CheckedLawFile {
  const read = readLawFile(name, text);
  if (read.kind === 'law') return read;
  if (baseLawId === null) return { kind: 'points', points: read.points.length, marks: read.marks.length };
  const base = findLaw(archive, baseLawId, null);
  const law = buildLaw({ ...base, revision: base.revision + 1, points: read.points, marks: read.marks });
  return { kind: 'law', law };
}

/** The text of a law file. @throws UnknownLawError */
export function lawText(archive: Archive, id: string, revision: number, form: 'json' | 'csv'): string {
  const law = findLaw(archive, id, revision);
  return form === 'json' ? writeLawJson(law) : writePointsCsv(law);
}

export function storeLaw(archive: Archive, data: LawData): void {
  const law = buildLaw(data);
  archive.storeLaw({ id: law.id, revision: law.revision, data: law });
}
