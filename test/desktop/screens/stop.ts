import type { Tour } from './bench.ts';

/** One state of one screen. Each stop goes on from the one before it. */
export interface Stop {
  /** Screen and state; the picture is named after it. */
  readonly name: string;
  /** @returns once the state stands on the screen */
  readonly reach: (tour: Tour) => Promise<void>;
}
