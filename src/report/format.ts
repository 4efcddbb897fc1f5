/** Numbers and times as they are read on paper: true minus, thin grouping, units apart, gaps as a dash. */

/** Stands where nothing was measured. */
export const gap = '–';
const thin = '\u202f';

const finite = (value: number | null | undefined): value is number =>
  typeof value === 'number' && Number.isFinite(value);

/** -0.00 would claim a direction that is not there. */
const rounded = (value: number, digits: number): string => {
  const text = value.toFixed(digits);
  return /^-0(\.0*)?$/.test(text) ? text.slice(1) : text.replace('-', '−');
};

/** Plain number with fixed digits, e.g. `48.0`. */
export function fixed(value: number | null | undefined, digits: number): string {
  return finite(value) ? rounded(value, digits) : gap;
}

/** Number that always shows its sign, e.g. `+0.42`, `−0.10`, `0.00`. */
export function signed(value: number | null | undefined, digits: number): string {
  if (!finite(value)) return gap;
  const text = rounded(value, digits);
  return Number(value.toFixed(digits)) > 0 ? `+${text}` : text;
}

/** Whole ohm with thin grouping, e.g. `10 240`. */
export function ohm(value: number | null | undefined): string {
  if (!finite(value)) return gap;
  return rounded(value, 0).replace(/\B(?=(\d{3})+$)/g, thin);
}

/** Limits, e.g. `8.0 … 12.0`, `≥ 85.00`. */
export function limits(lower: number | null, upper: number | null, digits: number): string {
  if (!finite(lower) && !finite(upper)) return 'no limit';
  if (!finite(upper)) return `≥ ${rounded(lower ?? 0, digits)}`;
  if (!finite(lower)) return `≤ ${rounded(upper, digits)}`;
  return `${rounded(lower, digits)} … ${rounded(upper, digits)}`;
}

/** Limits in ohm, e.g. `8 000 … 12 000`. */
export function ohmLimits(lower: number | null, upper: number | null): string {
  if (!finite(lower) && !finite(upper)) return 'no limit';
  if (!finite(upper)) return `≥ ${ohm(lower)}`;
  return finite(lower) ? `${ohm(lower)} … ${ohm(upper)}` : `≤ ${ohm(upper)}`;
}

/** Deviation limits with signs, e.g. `−0.50 … +0.50`. */
export function deviationLimits(lowerDb: number, upperDb: number | null): string {
  return upperDb === null ? `${signed(lowerDb, 2)} … any` : `${signed(lowerDb, 2)} … ${signed(upperDb, 2)}`;
}

const stamp = /^(\d{4}-\d{2}-\d{2})T(\d{2}:\d{2})(?::\d{2}(?:\.\d+)?)?Z$/;

/** `2026-11-25 10:07 UTC`; a text that is not ISO 8601 UTC is shown as it is. */
export function dateTime(iso: string): string {
  const parts = stamp.exec(iso);
  return parts === null ? iso : `${parts[1]} ${parts[2]} UTC`;
}

/** `2026-11-25`. */
export function dateOnly(iso: string): string {
  return stamp.exec(iso)?.[1] ?? iso;
}

/** Time between two stamps, e.g. `14.2 s`, `2 min 05 s`. */
export function duration(fromIso: string, toIso: string): string {
  const seconds = (Date.parse(toIso) - Date.parse(fromIso)) / 1000;
  if (!Number.isFinite(seconds) || seconds < 0) return gap;
  if (seconds < 99.95) return `${seconds.toFixed(1)} s`;
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)} min ${String(whole % 60).padStart(2, '0')} s`;
}

/** `1 fader`, `3 faders`. */
export function count(n: number, singular: string, plural = `${singular}s`): string {
  return `${n} ${n === 1 ? singular : plural}`;
}

/** Share of a whole, e.g. `87 %`; `0 %` and `100 %` are kept for none and all. */
export function share(part: number, whole: number): string {
  if (whole === 0) return gap;
  const percent = (part / whole) * 100;
  if (part > 0 && percent < 1) return '< 1 %';
  if (part < whole && percent > 99) return '> 99 %';
  return `${Math.round(percent)} %`;
}

/** `A, B and C`, or `A, B, C and 7 more` beyond `most`. */
export function listing(items: readonly string[], most = 5): string {
  if (items.length > most) return `${items.slice(0, most).join(', ')} and ${items.length - most} more`;
  if (items.length < 2) return items.join('');
  return `${items.slice(0, -1).join(', ')} and ${items.at(-1)}`;
}
