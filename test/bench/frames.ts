/** Frames of the window's page, seen from inside it: when each began, by the page's own clock. */
import type { Page } from 'playwright-core';

declare global {
  interface Window {
    frameTimesMs?: number[];
  }
}

/** Counts frames while `work` goes on. @returns ms from each frame to the next */
export async function framesDuring(page: Page, work: () => Promise<unknown>): Promise<number[]> {
  await page.evaluate(() => {
    const times: number[] = [];
    window.frameTimesMs = times;
    const note = (atMs: number): void => {
      if (window.frameTimesMs !== times) return;
      times.push(atMs);
      requestAnimationFrame(note);
    };
    requestAnimationFrame(note);
  });
  await work();
  const times = await page.evaluate(() => {
    const taken = window.frameTimesMs ?? [];
    delete window.frameTimesMs;
    return taken;
  });
  return times.slice(1).map((atMs, index) => atMs - (times[index] ?? Number.NaN));
}

/** Collects the page's own user timings of one name during `work`, each as its duration in ms. */
export async function timingsDuring(page: Page, name: string, work: () => Promise<unknown>): Promise<number[]> {
  const durations = await page.evaluateHandle((wanted) => {
    const found: number[] = [];
    const observer = new PerformanceObserver((list) => {
      for (const entry of list.getEntriesByName(wanted)) found.push(entry.duration);
    });
    observer.observe({ type: 'measure' });
    return { found, observer };
  }, name);
  await work();
  // What was measured last is told with the next task.
  const found = await durations.evaluate(async ({ found: all, observer }) => {
    await new Promise((resolve) => setTimeout(resolve));
    observer.disconnect();
    return all;
  });
  await durations.dispose();
  return found;
}

export function quantile(values: readonly number[], share: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)] ?? Number.NaN;
}
