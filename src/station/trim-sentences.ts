/** What is known of a piece and what to do next, in a sentence for the person at the bench. Pure. */
import { leftOf, type PieceHistory } from './trim-history.ts';

export function trimSentence(history: PieceHistory, passLimit: number): string {
  const { state, plan, passes, end, measured } = history;
  const pending = passes.at(-1);
  switch (state) {
    case 'measured':
      return 'Measured, but nothing was planned yet. Measure it again.';
    case 'planned':
      return `${cutsInWords(plan?.cuts.length ?? 0)} planned for pass ${history.pass + 1} of ${passLimit}. Ask for the cuts, then make them in order.`;
    case 'cutsAsked': {
      const left = pending === undefined ? [] : leftOf(pending);
      return `${cutsInWords(left.length)} of pass ${history.pass} left to make. When they are made, say so; if that is not certain, measure the piece instead.`;
    }
    case 'cutsDone':
      return `Cut, not yet measured. Take the dust away, let it cool, close the guard and measure. The cuts of pass ${history.pass} are never asked for again.`;
    case 'accepted':
      return history.pass === 0
        ? 'It follows the law as it is: nothing is cut. Take it out.'
        : `Brought in after ${history.pass === 1 ? '1 pass' : `${history.pass} passes`}. Take it out.`;
    case 'hopeless':
      return end?.sentence ?? measured.verdictReason;
    case 'ended':
      return end?.sentence ?? 'Trimming has ended.';
  }
}

function cutsInWords(count: number): string {
  return count === 1 ? '1 cut' : `${count} cuts`;
}

export const endSentences = {
  verdict: (reason: string): string =>
    `Every law point lies inside its band, but the piece does not pass: ${reason} Cutting does not mend that.`,
  passLimit: (limit: number): string =>
    `Not brought in within ${limit === 1 ? 'the one pass' : `the ${limit} passes`} allowed. Put it aside; another pass would be the next try at the same piece.`,
  risk: (risk: number, limit: number): string =>
    `No further pass: the smallest one worth making would lose the piece with a chance of ${percent(risk)}, and ${percent(limit)} is allowed. Put it aside.`,
  tooSmall: 'What is left to take is less than the smallest step of the tool. Put it aside, or measure it again.',
} as const;

function percent(share: number): string {
  const value = share * 100;
  return `${value >= 1 ? value.toFixed(0) : value.toPrecision(1)} %`;
}
