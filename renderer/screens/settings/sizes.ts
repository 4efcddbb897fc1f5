/** File sizes in decimal units. */
import { numberText } from '../../format/numbers.ts';

export function sizeText(bytes: number): string {
  if (bytes < 1_000) return `${bytes} bytes`;
  if (bytes < 1_000_000) return `${numberText(bytes / 1_000, 1)} kB`;
  return bytes < 1_000_000_000
    ? `${numberText(bytes / 1_000_000, 1)} MB`
    : `${numberText(bytes / 1_000_000_000, 2)} GB`;
}
