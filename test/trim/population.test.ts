import { beforeAll, describe, expect, it } from 'vitest';
import { loadLinearSolver } from '../../src/trim/solver.ts';
import { sortTally, type TrimmedTrack, tally, trimPopulation } from './trimming-population.ts';

/** Another seed can be tried by hand: `TRIM_SEED=77 npx vitest run test/trim/population.test.ts`. */
const seed = Number(process.env.TRIM_SEED ?? '20261125');
const size = 60;
const tracks: TrimmedTrack[] = [];

beforeAll(async () => {
  for await (const track of trimPopulation(seed, size, await loadLinearSolver())) tracks.push(track);
}, 60_000);

/** The most failures of n that a true share would give in all but one of a thousand populations. */
function mostOf(n: number, share: number): number {
  let chance = (1 - share) ** n;
  let sum = chance;
  let k = 0;
  while (sum < 0.999) {
    k += 1;
    chance *= ((n - k + 1) / k) * (share / (1 - share));
    sum += chance;
  }
  return k;
}

// The whole figures of 1,000 tracks are those of `npm run bench`.
describe(`${size} raw tracks trimmed on the virtual rig (seed ${seed})`, () => {
  it('are brought in within three passes when they can be, and hardly one is lost', () => {
    const { tracks: able, broughtIn, lost, wronglyAccepted } = tally(tracks, 'planned');
    expect(able).toBeGreaterThan(size / 2);
    expect(able - broughtIn).toBeLessThanOrEqual(mostOf(able, 0.02));
    expect(lost).toBeLessThanOrEqual(mostOf(able, 0.002));
    expect(wronglyAccepted).toBe(0);
  });

  it('are sorted before the first cut', () => {
    const { beyond, beyondTold, trimmable, wronglyTold } = sortTally(tracks);
    expect(beyond - beyondTold).toBeLessThanOrEqual(mostOf(beyond, 0.05));
    expect(wronglyTold).toBeLessThanOrEqual(mostOf(trimmable, 0.005));
  });

  it('go better than by hand and than by the closed form', () => {
    const [planned, byHand, closedForm] = [
      tally(tracks, 'planned'),
      tally(tracks, 'by hand'),
      tally(tracks, 'closed form'),
    ];
    expect(planned.broughtIn).toBeGreaterThan(byHand.broughtIn);
    expect(planned.broughtIn).toBeGreaterThan(closedForm.broughtIn);
  });
});
