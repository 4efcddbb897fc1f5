/**
 * Tells a barcode scanner from a person typing: a scanner types a whole serial within a few milliseconds a key and ends
 * with Enter. Pure: keys and times come in, scans come out, so it can be tested without a keyboard.
 */
export interface KeyStroke {
  /** As in KeyboardEvent.key. */
  readonly key: string;
  readonly atMs: number;
}

/** Slower than any scanner on the average of a whole text, faster than any hand. */
const slowestPaceMs = 35;
/** A scanner, or the machine it is plugged into, may hesitate once; after this long a new text begins. */
const longestPauseMs = 150;
const shortestScan = 6;

export interface ScanWatch {
  /** @returns the scanned text when this key ends a scan, else null. */
  onKey(stroke: KeyStroke): string | null;
  /** True when a key at this moment begins a text instead of going on with one. */
  begins(atMs: number): boolean;
}

export function watchScans(): ScanWatch {
  let text = '';
  let firstMs = Number.NEGATIVE_INFINITY;
  let lastMs = Number.NEGATIVE_INFINITY;
  const begins = (atMs: number): boolean => atMs - lastMs > longestPauseMs;
  return {
    begins,
    onKey({ key, atMs }) {
      if (begins(atMs)) {
        text = '';
        firstMs = atMs;
      }
      lastMs = atMs;
      if (key === 'Enter') {
        const isFast = atMs - firstMs <= text.length * slowestPaceMs;
        const scan = isFast && text.length >= shortestScan ? text : null;
        text = '';
        lastMs = Number.NEGATIVE_INFINITY;
        return scan;
      }
      if (key.length === 1) text += key;
      return null;
    },
  };
}
