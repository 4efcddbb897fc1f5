import type { ReactElement } from 'react';
import type { LawProblem } from '../../../src/law/problems.ts';

/** What is wrong at one place, each with what to do. */
export function ProblemLines({ problems }: { readonly problems: readonly LawProblem[] }): ReactElement | null {
  if (problems.length === 0) return null;
  return (
    <ul className="problem-lines">
      {problems.map((problem) => (
        <li key={problem.message}>{problem.message}</li>
      ))}
    </ul>
  );
}

/** Problems of one list (`points`, `marks`) at one row, 0-based. */
export const problemsAt = (problems: readonly LawProblem[], list: string, row: number): readonly LawProblem[] =>
  problems.filter((problem) => problem.path[0] === list && problem.path[1] === row);
