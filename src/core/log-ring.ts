/** The last lines of what the core did, for the Rig screen. */
export interface LogRing {
  add(text: string): void;
  lines(): { at: string; text: string }[];
}

export function logRing(size: number, now: () => Date): LogRing {
  const kept: { at: string; text: string }[] = [];
  return {
    add(text) {
      kept.push({ at: now().toISOString(), text });
      if (kept.length > size) kept.splice(0, kept.length - size);
    },
    lines: () => kept.toReversed(),
  };
}
