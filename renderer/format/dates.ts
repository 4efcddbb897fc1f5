/** Dates and times as the bench writes them: ISO order, local time, no language. */
const two = (value: number): string => String(value).padStart(2, '0');

export function dateText(iso: string): string {
  const date = new Date(iso);
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}

export function timeText(iso: string): string {
  const date = new Date(iso);
  return `${two(date.getHours())}:${two(date.getMinutes())}`;
}

export const dateTimeText = (iso: string): string => `${dateText(iso)} ${timeText(iso)}`;

/** `1 min 05 s`, `12 s`. */
export function durationText(ms: number): string {
  const seconds = Math.max(0, Math.round(ms / 1000));
  return seconds < 60 ? `${seconds} s` : `${Math.floor(seconds / 60)} min ${two(seconds % 60)} s`;
}
