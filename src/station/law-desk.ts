/** The law library: examples put in at first start, files checked, revisions kept and found. */
import type { Archive } from '../archive/archive.ts';
import { buildLaw, type Law } from '../law/build.ts';
import { readPointsCsv } from '../law/csv.ts';
import { exampleLaws } from '../law/examples.ts';
import { readLawJson } from '../law/json.ts';
import type { LawData } from '../law/law.ts';
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

/** Reads a law file; points files get the frame of a new law named after the file. @throws LawFileError, LawInvalidError */
export function checkLawFile(name: string, text: string): Law {
  if (!/\.csv$/i.test(name)) return readLawJson(text);
  const { points, marks } = readPointsCsv(text);
  const travelMm = Math.max(...points.map((point) => point.travelMm), ...marks.map((mark) => mark.travelMm));
  return buildLaw({
    id: lawIdFrom(name),
    revision: 1,
    title: `Points of ${name}`,
    travelMm,
    points,
    closedMinLossDb: points[0]?.lossDb ?? 0,
    openMaxLossDb: (points.at(-1)?.lossDb ?? 0) + (points.at(-1)?.plusDb ?? 0),
    resistance: { nominalOhm: 10_000, toleranceFraction: 0.2 },
    loadOhm: null,
    interpolation: 'dbLinear',
    marks,
    limits: {},
  });
}

const lawIdFrom = (name: string): string =>
  name
    .replace(/\.csv$/i, '')
    .replace(/[^A-Za-z0-9-]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 20) || 'LAW';

export function storeLaw(archive: Archive, data: LawData): void {
  const law = buildLaw(data);
  archive.storeLaw({ id: law.id, revision: law.revision, data: law });
}
