/** Remembers where the window was; a place that no screen shows any more is forgotten. */
import { mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { z } from 'zod';

/** The window's smallest size: below the least content of 1264x704 the page scrolls. */
export const leastWidth = 1024;
export const leastHeight = 700;

const state = z.object({
  x: z.number().int(),
  y: z.number().int(),
  width: z.number().int().min(leastWidth).max(20_000),
  height: z.number().int().min(leastHeight).max(20_000),
  maximized: z.boolean(),
});
export type WindowState = z.infer<typeof state>;

interface Area {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** The saved place when at least a hand's breadth of it is visible on one of the screens, else null. */
export function readWindowState(path: string, screens: readonly Area[]): WindowState | null {
  let raw: unknown;
  try {
    raw = JSON.parse(readFileSync(path, 'utf8'));
  } catch {
    // No file yet, or one cut short: the window opens where the system likes.
    return null;
  }
  const parsed = state.safeParse(raw);
  if (!parsed.success) return null;
  const { x, y, width } = parsed.data;
  const visible = screens.some(
    (screen) =>
      x + width > screen.x + 100 &&
      x < screen.x + screen.width - 100 &&
      y >= screen.y &&
      y < screen.y + screen.height - 100,
  );
  return visible ? parsed.data : null;
}

export function writeWindowState(path: string, value: WindowState): void {
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(`${path}.new`, JSON.stringify(value));
  renameSync(`${path}.new`, path);
}
