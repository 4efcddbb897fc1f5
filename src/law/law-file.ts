import type { Law } from './build.ts';
import { type LawPoints, readPointsCsv } from './csv.ts';
import { readLawJson } from './json.ts';
import { LawFileError, quoted } from './problems.ts';

/** What a file about laws turned out to hold. */
export type LawFile = { readonly kind: 'law'; readonly law: Law } | ({ readonly kind: 'points' } & LawPoints);

/**
 * Reads a file by the ending of its name: `.json` a whole law, `.csv` points and marks only.
 *
 * @param name file name or path, for its ending
 * @param source bytes or text of the file; bytes are better, because damaged characters are then found exactly
 * @throws LawFileError with the file's name, every problem found and its line
 */
export function readLawFile(name: string, source: string | Uint8Array): LawFile {
  try {
    return readByEnding(name, source);
  } catch (error) {
    if (error instanceof LawFileError) throw new LawFileError(error.problems, name);
    throw error;
  }
}

function readByEnding(name: string, source: string | Uint8Array): LawFile {
  const ending = name.slice(name.lastIndexOf('.') + 1).toLowerCase();
  if (ending === 'json') return { kind: 'law', law: readLawJson(source) };
  if (ending === 'csv') return { kind: 'points', ...readPointsCsv(source) };
  throw new LawFileError([
    { line: null, message: `${quoted(name)} ends neither in .json (whole law) nor in .csv (points). Rename the file.` },
  ]);
}
