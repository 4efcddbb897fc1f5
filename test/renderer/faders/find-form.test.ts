import { describe, expect, test } from 'vitest';
import { emptyForm, isUnfiltered, queryOf, timeSpan } from '../../../renderer/screens/faders/find-form.ts';
import { pageSize, pagesOf } from '../../../renderer/screens/faders/found.ts';

/** Midnight on the bench's own clock, as the archive is asked for it. */
const midnight = (year: number, month: number, day: number): string => new Date(year, month - 1, day).toISOString();

describe('the day that is asked for', () => {
  test('may be a day, a month or a year, to its end', () => {
    expect(timeSpan('2026-11-25')).toEqual({ from: midnight(2026, 11, 25), to: midnight(2026, 11, 26) });
    expect(timeSpan('2026-11')).toEqual({ from: midnight(2026, 11, 1), to: midnight(2026, 12, 1) });
    expect(timeSpan('2026')).toEqual({ from: midnight(2026, 1, 1), to: midnight(2027, 1, 1) });
    expect(timeSpan('2026-12-31')?.to).toBe(midnight(2027, 1, 1));
    expect(timeSpan(' 2024-02 ')?.to).toBe(midnight(2024, 3, 1));
  });

  test('may be a span, both ends in it', () => {
    const span = { from: midnight(2026, 11, 20), to: midnight(2026, 11, 26) };
    expect(timeSpan('2026-11-20 to 2026-11-25')).toEqual(span);
    expect(timeSpan('2026-11-20..2026-11-25')).toEqual(span);
    expect(timeSpan('2025 to 2026-06')).toEqual({ from: midnight(2025, 1, 1), to: midnight(2026, 7, 1) });
  });

  test.each(['yesterday', '25.11.2026', '2026-13', '2026-02-30', '2026-11-25 to', '2026-11-25 to 2026-11-20', '26'])(
    '%s is not understood',
    (text) => {
      expect(timeSpan(text)).toBeNull();
    },
  );
});

describe('the search form', () => {
  test('asks for everything while it is empty', () => {
    expect(queryOf(emptyForm)).toEqual({ query: {}, problem: null });
    expect(isUnfiltered(emptyForm)).toBe(true);
    expect(isUnfiltered({ ...emptyForm, serialPart: '  ' })).toBe(true);
  });

  test('asks for all that is filled in, without the spaces around', () => {
    const form = { serialPart: ' 26-48 ', batch: 'TFW-26-48 ', verdict: 'fail', when: '2026-11' } as const;
    expect(queryOf(form)).toEqual({
      query: {
        serialPart: '26-48',
        batch: 'TFW-26-48',
        verdict: 'fail',
        from: midnight(2026, 11, 1),
        to: midnight(2026, 12, 1),
      },
      problem: null,
    });
    expect(isUnfiltered(form)).toBe(false);
  });

  test('says that a day was not understood, and leaves it out', () => {
    const { query, problem } = queryOf({ ...emptyForm, batch: 'TFW-26-48', when: 'Monday' });
    expect(query).toEqual({ batch: 'TFW-26-48' });
    expect(problem).toContain('2026-11-25');
  });
});

test('the list is fetched in the pages that hold the rows in view', () => {
  expect(pagesOf(0, 9)).toEqual([0]);
  expect(pagesOf(pageSize - 1, pageSize)).toEqual([0, 1]);
  expect(pagesOf(7_250, 7_420)).toEqual([72, 73, 74]);
});
