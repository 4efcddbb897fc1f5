import type { LawInterpolation } from './law.ts';
import { MAX_LOSS_DB, pointProblems, type ReadPoint } from './point-rules.ts';
import { type LawProblem, quoted } from './problems.ts';

/** A mark as far as it could be read; NaN and `null` stand for what was reported already. */
export interface ReadMark {
  readonly travelMm: number;
  readonly text: string | null;
}

/** A law as far as it could be read. NaN = missing or unreadable, reported already. */
export interface ReadLaw {
  readonly id: string | null;
  readonly revision: number;
  readonly title: string | null;
  readonly travelMm: number;
  /** `null` = no list at all, reported already. */
  readonly points: readonly ReadPoint[] | null;
  readonly closedMinLossDb: number;
  readonly openMaxLossDb: number;
  readonly nominalOhm: number;
  readonly toleranceFraction: number;
  readonly loadOhm: number | null;
  readonly interpolation: LawInterpolation;
  readonly marks: readonly ReadMark[];
  readonly maxPlayMm: number | undefined;
}

const ID = /^[A-Za-z0-9][A-Za-z0-9._-]{0,31}$/;
const INVISIBLE = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/u;
const MAX_TITLE = 120;
const MAX_MARK_TEXT = 12;

/** What keeps a text from being printed, stored and written back unchanged; `null` = nothing. */
export function textFault(text: string, maxLength: number): string | null {
  if (text.trim() === '') return 'is empty. Write a text.';
  if (text !== text.trim()) return 'begins or ends with a space. Remove it.';
  if (text.length > maxLength) return `is longer than ${maxLength} characters. Shorten it.`;
  if (!text.isWellFormed() || INVISIBLE.test(text) || text.includes('\uFFFD')) {
    return 'contains invisible or broken characters. Type it anew.';
  }
  return null;
}

/** Everything wrong with the marks of a law. `travelMm` NaN when not known. */
export function markProblems(marks: readonly ReadMark[], travelMm: number): LawProblem[] {
  const problems: LawProblem[] = [];
  marks.forEach((mark, index) => {
    const name = mark.text === null ? `Mark ${index + 1}` : `Mark ${index + 1} (${quoted(mark.text)})`;
    const say = (field: 'travelMm' | 'text', what: string) =>
      problems.push({
        row: index + 1,
        field: `marks.${field}`,
        message: `${name}: ${what}`,
        path: ['marks', index, field],
      });
    if (mark.travelMm < 0) say('travelMm', `travel ${mark.travelMm} mm is below 0. Travel counts from the closed end.`);
    if (mark.travelMm > travelMm) {
      say('travelMm', `travel ${mark.travelMm} mm lies beyond the nominal travel of ${travelMm} mm. Move the mark.`);
    }
    const before = marks.slice(0, index).findLast((m) => Number.isFinite(m.travelMm));
    if (before !== undefined && mark.travelMm <= before.travelMm) {
      say(
        'travelMm',
        `travel ${mark.travelMm} mm does not lie above that of the mark before (${before.travelMm} mm). ` +
          'Order the marks from the closed end upward, one at each place.',
      );
    }
    const fault = mark.text === null ? null : textFault(mark.text, MAX_MARK_TEXT);
    if (fault !== null) say('text', `the text ${fault}`);
    // A spreadsheet would run such a cell as a formula when the points file is opened.
    else if (mark.text?.startsWith('=') || mark.text?.startsWith('@')) {
      say('text', 'the text begins with "=" or "@". Begin it otherwise.');
    }
  });
  return problems;
}

/** Everything wrong with a law. */
export function lawProblems(law: ReadLaw): LawProblem[] {
  const problems: LawProblem[] = [];
  const say = (field: string, message: string) =>
    problems.push({ row: null, field, message, path: field === '' ? [] : field.split('.') });

  if (law.id !== null && !ID.test(law.id)) {
    say('id', `The id ${quoted(law.id)} must be 1 to 32 letters, digits, ".", "_" or "-". Rename it.`);
  }
  if (law.revision < 1 || law.revision > 1_000_000 || (Number.isFinite(law.revision) && law.revision % 1 !== 0)) {
    say('revision', `The revision ${law.revision} must be a whole number from 1 upward. Give the next number.`);
  }
  const titleFault = law.title === null ? null : textFault(law.title, MAX_TITLE);
  if (titleFault !== null) say('title', `The title ${titleFault}`);
  if (law.travelMm < 5 || law.travelMm > 1000) {
    say('travelMm', `The nominal travel ${law.travelMm} mm is not between 5 and 1000 mm. Give it in mm.`);
  }
  if (law.points !== null) problems.push(...pointProblems(law.points, law.travelMm, law.interpolation));
  endProblems(law, say);
  if (law.nominalOhm < 10 || law.nominalOhm > 1e8) {
    say(
      'resistance.nominalOhm',
      `The track resistance ${law.nominalOhm} ohm is not between 10 ohm and 100 Mohm. Give it in ohm.`,
    );
  }
  if (law.toleranceFraction <= 0 || law.toleranceFraction > 0.5) {
    say(
      'resistance.toleranceFraction',
      `The resistance tolerance ${law.toleranceFraction} is not above 0 and at most 0.5. It is a fraction: 0.2 means +-20 %.`,
    );
  }
  if (law.loadOhm !== null && (law.loadOhm < law.nominalOhm / 100 || law.loadOhm > 1e12 || law.loadOhm <= 0)) {
    say(
      'loadOhm',
      `The load ${law.loadOhm} ohm is not between a hundredth of the track resistance and 1e12 ohm. ` +
        'Give it in ohm, or null for an unloaded law.',
    );
  }
  problems.push(...markProblems(law.marks, law.travelMm));
  if (law.maxPlayMm !== undefined && (law.maxPlayMm <= 0 || law.maxPlayMm > law.travelMm / 10)) {
    say(
      'limits.maxPlayMm',
      `The play limit ${law.maxPlayMm} mm is not above 0 and at most a tenth of the travel. Give it in mm or leave it out.`,
    );
  }
  return problems;
}

function endProblems(law: ReadLaw, say: (field: string, message: string) => void): void {
  const { closedMinLossDb, openMaxLossDb } = law;
  const closest = law.points?.[0];
  const openest = law.points?.at(-1);
  if (closedMinLossDb <= 0 || closedMinLossDb > MAX_LOSS_DB) {
    say('closedMinLossDb', `The closed loss limit ${closedMinLossDb} dB is not above 0 and at most ${MAX_LOSS_DB} dB.`);
  } else if (closest !== undefined && closedMinLossDb < closest.lossDb - closest.minusDb) {
    say(
      'closedMinLossDb',
      `The closed loss limit ${closedMinLossDb} dB is weaker than point 1 allows ` +
        `(${closest.lossDb} - ${closest.minusDb} dB). Raise it at least to that.`,
    );
  }
  if (openMaxLossDb < 0) {
    say('openMaxLossDb', `The open loss limit ${openMaxLossDb} dB is negative. Give 0 or more.`);
  } else if (openest !== undefined && openest.plusDb !== null && openMaxLossDb > openest.lossDb + openest.plusDb) {
    say(
      'openMaxLossDb',
      `The open loss limit ${openMaxLossDb} dB is weaker than the last point allows ` +
        `(${openest.lossDb} + ${openest.plusDb} dB). Lower it at least to that.`,
    );
  }
}
