/**
 * Tells a barcode scanner from a person typing: a scanner types a whole serial within a few milliseconds a key and ends
 * with Enter. Pure: keys and times come in, scans come out, so it can be tested without a keyboard.
 */
export interface KeyStroke {
  /** As in KeyboardEvent.key. */
  readonly key: string;
  readonly atMs: number;
}

/** Slower than any scanner, faster than any hand. */
const slowestGapMs = 35;
const shortestScan = 6;

export interface ScanWatch {
  /** @returns the scanned text when this key ends a scan, else null. */
  onKey(stroke: KeyStroke): string | null;
}

export function watchScans(): ScanWatch {
  let text = '';
  let lastMs = Number.NEGATIVE_INFINITY;
  return {
    onKey({ key, atMs }) {
      const fast = atMs - lastMs <= slowestGapMs;
      lastMs = atMs;
      if (key === 'Enter') {
        const scan = fast && text.length >= shortestScan ? text : null;
        text = '';
        return scan;
      }
      if (key.length !== 1) return null;
      text = fast ? text + key : key;
      return null;
    },
  };
}
