/** What was asked for, as a query of the contract. Pure but for the local time zone, in which a day is a day of the bench. */
import type { FindQuery } from '../../../src/contract/commands.ts';
import type { VerdictWord } from '../../../src/contract/state.ts';

export interface FindForm {
  readonly serialPart: string;
  readonly batch: string;
  readonly verdict: VerdictWord | null;
  /** `2026`, `2026-11`, `2026-11-25`, or two of them with `to` between. */
  readonly when: string;
}

export const emptyForm: FindForm = { serialPart: '', batch: '', verdict: null, when: '' };

/** From inclusive, to exclusive, ISO 8601 UTC. */
export interface TimeSpan {
  readonly from: string;
  readonly to: string;
}

/** @returns null when the text is no year, month, day or span of them */
export function timeSpan(text: string): TimeSpan | null {
  const [first, second, ...more] = text.trim().split(/\s*(?:\.\.|\bto\b|\u2013)\s*/u);
  const from = calendarSpan(first ?? '');
  const to = second === undefined ? from : calendarSpan(second);
  if (from === null || to === null || more.length > 0 || to.end <= from.start) return null;
  return { from: from.start.toISOString(), to: to.end.toISOString() };
}

function calendarSpan(text: string): { readonly start: Date; readonly end: Date } | null {
  const match = /^(\d{4})(?:-(\d{1,2})(?:-(\d{1,2}))?)?$/.exec(text);
  if (match === null) return null;
  const [year, month, day] = [match[1], match[2], match[3]].map((part) => (part === undefined ? null : Number(part)));
  if (year === null || year === undefined) return null;
  const start = new Date(year, (month ?? 1) - 1, day ?? 1);
  // The calendar rolls 31 April over into May; such a day was never meant.
  if (start.getMonth() !== (month ?? 1) - 1 || start.getDate() !== (day ?? 1)) return null;
  const end =
    month == null
      ? new Date(year + 1, 0, 1)
      : day == null
        ? new Date(year, month, 1)
        : new Date(year, month - 1, day + 1);
  return { start, end };
}

export interface AskedQuery {
  readonly query: FindQuery;
  /** What could not be understood and was left out; null = nothing. */
  readonly problem: string | null;
}

export function queryOf(form: FindForm): AskedQuery {
  const serialPart = form.serialPart.trim();
  const batch = form.batch.trim();
  const span = form.when.trim() === '' ? null : timeSpan(form.when);
  const isUnread = form.when.trim() !== '' && span === null;
  return {
    query: {
      ...(serialPart === '' ? {} : { serialPart }),
      ...(batch === '' ? {} : { batch }),
      ...(form.verdict === null ? {} : { verdict: form.verdict }),
      ...(span ?? {}),
    },
    problem: isUnread ? 'Write a day as 2026-11-25, a month as 2026-11, a span as 2026-11-20 to 2026-11-25.' : null,
  };
}

export const isUnfiltered = (form: FindForm): boolean =>
  form.serialPart.trim() === '' && form.batch.trim() === '' && form.verdict === null && form.when.trim() === '';
