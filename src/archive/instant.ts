/**
 * Milliseconds since 1970 of an ISO 8601 UTC text such as `2026-11-25T10:00:00.000Z`; null if it is not one.
 * The text is what is kept; the number is only for order, because texts with and without fractions do not sort.
 */
export function instantMs(text: string): number | null {
  if (!/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,9})?Z$/.test(text)) return null;
  const ms = Date.parse(text);
  return Number.isNaN(ms) ? null : ms;
}
