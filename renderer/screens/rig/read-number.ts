/** A number as a person types it, with point or comma; null when it is none. Pure. */
export function readNumber(text: string): number | null {
  const plain = text.trim().replace('\u2212', '-').replace(',', '.');
  if (!/^[+-]?(\d+(\.\d*)?|\.\d+)$/.test(plain)) return null;
  const value = Number(plain);
  return Number.isFinite(value) ? value : null;
}
