import { LawFileError, type LawFileProblem } from '../../src/law/problems.ts';

/** The problems for which a law file was refused; none when it was read. */
export function refusal(read: () => unknown): readonly LawFileProblem[] {
  try {
    read();
  } catch (error) {
    if (error instanceof LawFileError) return error.problems;
    throw error;
  }
  return [];
}
