/**
 * Every screen in every state that matters, in the real window with the real core and a virtual rig. Pictures go to
 * `out/screens/`, to be looked at; what a machine can see is asserted: nothing cut off, nothing on top of other text,
 * everything pressable with a glove, no serious or critical fault for people who hear the screen or need contrast.
 */
import { mkdir, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { checkout, type LaunchedApp, launchApp } from './app.ts';
import { axeFaults } from './screens/axe.ts';
import { type Tour, tourOf } from './screens/bench.ts';
import { layoutFaults, scrollAreas } from './screens/layout-checks.ts';
import type { Stop } from './screens/stop.ts';
import { batchStops } from './screens/stops-batch.ts';
import { fadersStops } from './screens/stops-faders.ts';
import { firstStops } from './screens/stops-first.ts';
import { lawsStops } from './screens/stops-laws.ts';
import { rigStops } from './screens/stops-rig.ts';
import { settingsStops } from './screens/stops-settings.ts';
import { trimStops } from './screens/stops-trim.ts';
import { bySizeAndTheme, themes } from './screens/variants.ts';

const pictures = join(checkout, 'out', 'screens');
const stops: readonly Stop[] = [
  ...firstStops,
  ...batchStops,
  ...fadersStops,
  ...lawsStops,
  ...rigStops,
  ...settingsStops,
  ...trimStops,
];

describe('every screen', () => {
  let launched: LaunchedApp;
  let tour: Tour;
  /** A stop goes on from the one before: after a failure the rest has nothing to stand on. */
  let stuckAt: string | null = null;

  beforeAll(async () => {
    await rm(pictures, { recursive: true, force: true });
    await mkdir(pictures, { recursive: true });
    launched = await launchApp();
    tour = tourOf(launched);
    await launched.page.emulateMedia({ reducedMotion: 'reduce' });
  }, 60_000);
  afterAll(() => launched?.close(), 20_000);

  it.each(stops.map((stop) => [stop.name, stop] as const))('%s', { timeout: 90_000 }, async (name, stop) => {
    expect(stuckAt, 'the tour is stuck').toBeNull();
    stuckAt = name;
    await stop.reach(tour);
    stuckAt = null;

    const faults: string[] = [];
    await bySizeAndTheme(tour, async (size, theme) => {
      if (size.hasPicture) {
        await tour.page.screenshot({ path: join(pictures, `${name}-${theme}-${size.width}.png`) });
      }
      if (theme === themes[0]) {
        const found = await tour.page.evaluate(layoutFaults, { scrollAreas, leastTargetPx: 48 });
        faults.push(...found.map((fault) => `at ${size.width}x${size.height}: ${fault}`));
      }
      if (size.isChecked) faults.push(...(await axeFaults(tour.page)).map((fault) => `${theme}: ${fault}`));
    });
    expect(faults).toEqual([]);
  });
});
