import { describe, expect, it } from 'vitest';
import { defaultParameters } from '../../firmware-protocol/virtual-rig/parameters.ts';
import { faderFaults, makePopulation } from '../../firmware-protocol/virtual-rig/population.ts';
import type { Finish } from '../../src/fader/parameters.ts';
import { exampleLaw } from '../../src/law/examples.ts';
import { createDirectRig, type DirectRig } from './direct-rig.ts';
import { measureDirectly, outsideInU, trueDeviationDb, trueValueOf } from './measure-directly.ts';

/** Another seed can be tried by hand: `COVERAGE_SEED=77 npx vitest run test/procedure/truth-coverage.test.ts`. */
const seed = Number(process.env.COVERAGE_SEED ?? '20261125');
const size = 500;
const fadersPerRig = 20;
const faultShare = 0.3;
const law = exampleLaw('PF-104');

function populationOf(finish: Finish, ownSeed: number) {
  const printed = {
    id: law.id,
    travelMm: law.travelMm,
    nominalOhm: law.resistance.nominalOhm,
    interpolation: law.interpolation,
    points: law.points,
  };
  const options = { seed: ownSeed, size, law: printed, finish, faultShare, faults: faderFaults, year: 26, week: 48 };
  return makePopulation(options, defaultParameters);
}

describe(`uncertainty against the truth of ${size} virtual faders (seed ${seed})`, () => {
  it('covers 95 % of the point errors with U and all with 2 U, and no verdict is wrong by more than U', async () => {
    const populations = [populationOf('delivered', seed), populationOf('raw', seed + 1)] as const;
    let rig: DirectRig = createDirectRig(defaultParameters, seed);
    const shares: number[] = [];
    const wrong: string[] = [];
    const words = { pass: 0, doubt: 0, fail: 0, void: 0 };
    for (let index = 0; index < size; index += 1) {
      if (index % fadersPerRig === 0) rig = createDirectRig(defaultParameters, seed + 1 + index);
      const specimen = populations[index % 2 === 0 ? 0 : 1].specimen(index);
      const { run, verdict } = await measureDirectly(rig, specimen, law);
      const name = `fader ${index} (faults ${JSON.stringify(specimen.faults)})`;
      expect(run.outcome, `${name}: ${run.reason}`).toBe('completed');
      words[verdict.verdict] += 1;
      let worst = Number.NEGATIVE_INFINITY;
      for (const point of verdict.points) {
        const u = point.uncertaintyDb;
        if (point.deviationDb === null || u === null) continue;
        const truth = trueDeviationDb(specimen, point);
        const share = Math.abs(point.deviationDb - truth) / u;
        shares.push(share);
        if (share > 2)
          wrong.push(`${name}, point ${point.pointIndex}: error ${share.toFixed(2)} U (U ${u.toFixed(4)} dB)`);
        worst = Math.max(worst, outsideInU(truth, { lower: point.lowerDb, upper: point.upperDb, u }));
      }
      for (const check of verdict.checks) {
        if (check.uncertainty === null) continue;
        const truth = trueValueOf(specimen, check, law);
        worst = Math.max(worst, outsideInU(truth, { lower: check.lower, upper: check.upper, u: check.uncertainty }));
      }
      if (worst > 1 && verdict.verdict === 'pass') wrong.push(`${name} passed, yet fails by ${worst.toFixed(2)} U`);
      if (worst < -1 && verdict.verdict === 'fail')
        wrong.push(`${name} failed, yet passes by ${(-worst).toFixed(2)} U: ${verdict.reason}`);
    }
    const inside = shares.filter((share) => share <= 1).length / shares.length;
    const mean = shares.reduce((sum, share) => sum + share, 0) / shares.length;
    console.log(
      `seed ${seed}: ${shares.length} points, ${(100 * inside).toFixed(2)} % inside U, mean |error|/U ${mean.toFixed(3)}, largest ${Math.max(...shares).toFixed(2)}; ${JSON.stringify(words)}`,
    );
    expect(wrong).toEqual([]);
    expect(inside).toBeGreaterThanOrEqual(0.95);
    // A U that is wide for comfort is no better than one that is too narrow: for normal errors the mean is 0.40 U.
    expect(mean).toBeGreaterThan(0.2);
    expect(shares.length).toBeGreaterThan(size * law.points.length * 0.99);
    expect(Math.min(words.pass, words.fail)).toBeGreaterThan(50);
  }, 60_000);
});
