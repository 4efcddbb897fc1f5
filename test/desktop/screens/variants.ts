/** The sizes and themes that every state is looked at in. */
import type { Tour } from './bench.ts';

export interface Size {
  readonly width: number;
  readonly height: number;
  readonly hasPicture: boolean;
  /** Accessibility is looked at in one size: it depends on theme and content, not on the room. */
  readonly isChecked: boolean;
}

export const themes = ['dark', 'light'] as const;
export type Theme = (typeof themes)[number];

/** 1264x704 is what a 1280x800 screen leaves inside title bar, menu and task bar. The last one is where the tour goes on. */
export const sizes: readonly Size[] = [
  { width: 1920, height: 1080, hasPicture: true, isChecked: false },
  { width: 1264, height: 704, hasPicture: false, isChecked: false },
  { width: 1280, height: 800, hasPicture: true, isChecked: true },
];

export async function bySizeAndTheme(tour: Tour, look: (size: Size, theme: Theme) => Promise<void>): Promise<void> {
  for (const size of sizes) {
    await resize(tour, size);
    for (const theme of size.hasPicture ? themes : themes.slice(0, 1)) {
      await tour.page.emulateMedia({ colorScheme: theme, reducedMotion: 'reduce' });
      await tour.page.waitForFunction((wanted) => document.documentElement.dataset.theme === wanted, theme);
      await painted(tour);
      await look(size, theme);
    }
  }
}

async function resize({ app, page }: Tour, { width, height }: Size): Promise<void> {
  await app.evaluate(
    ({ BrowserWindow }, size) => BrowserWindow.getAllWindows()[0]?.setContentSize(size.width, size.height),
    { width, height },
  );
  await page.waitForFunction((size) => innerWidth === size.width && innerHeight === size.height, { width, height });
}

/** Faces are there, and what watches sizes and themes has drawn anew: that takes up to three frames. */
const painted = ({ page }: Tour): Promise<void> =>
  page.evaluate(async () => {
    await document.fonts.ready;
    for (let frame = 0; frame < 3; frame += 1) await new Promise((resolve) => requestAnimationFrame(resolve));
  });
