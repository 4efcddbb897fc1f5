/** All golden vectors as one text, the same bytes every time. */
import { badLines } from './bad-lines.ts';
import { goodLines } from './good-lines.ts';
import { motionLocks, refusing } from './motion-exchanges.ts';
import { numbering, sessions } from './session-exchanges.ts';
import { streams } from './streams.ts';
import type { Vectors } from './vector-types.ts';

export function buildVectors(): Vectors {
  return {
    protocol: 1,
    lines: [...goodLines(), ...badLines()],
    streams: streams(),
    exchanges: [...numbering(), ...sessions(), ...refusing(), ...motionLocks()],
  };
}

/** One vector a line, so that a change shows as a change of a line; bytes outside printable ASCII escaped. */
export function vectorsText(): string {
  const vectors = buildVectors();
  const list = (items: readonly unknown[]): string => `[\n    ${items.map((item) => ascii(item)).join(',\n    ')}\n  ]`;
  const parts = [
    `  "protocol": ${vectors.protocol}`,
    `  "lines": ${list(vectors.lines)}`,
    `  "streams": ${list(vectors.streams)}`,
    `  "exchanges": ${list(vectors.exchanges)}`,
  ];
  return `{\n${parts.join(',\n')}\n}\n`;
}

function ascii(item: unknown): string {
  const escaped = (character: string): string => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`;
  return JSON.stringify(item).replace(/[\u007f-\uffff]/g, escaped);
}
