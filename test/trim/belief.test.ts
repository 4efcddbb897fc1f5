import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Random } from '../../src/fader/random.ts';
import { afterSheetChange, afterToolChange, priorBelief, updateBelief } from '../../src/trim/belief.ts';

/** What a tool of a given gain does to cells, each measured with an error of its own. */
function outcomes(gain: number, cuts: number, uOhm: number, random: Random) {
  return Array.from({ length: cuts }, () => {
    const predictedOhm = random.uniform(50, 150);
    const achievedOhm = predictedOhm * gain * (1 + random.bounded(0, 0.1)) + random.normal(0, uOhm);
    return { predictedOhm, achievedOhm, uOhm };
  });
}

describe('what is believed of a tool', () => {
  it('starts at gain 1 and learns the true one, with an honest spread', () => {
    let far = 0;
    const tools = 200;
    for (let seed = 1; seed <= tools; seed += 1) {
      const random = new Random(seed);
      const gain = random.bounded(1, 0.15);
      const belief = updateBelief(priorBelief('mill'), outcomes(gain, 20, 2, random));
      expect(belief.sd).toBeLessThan(0.03);
      expect(belief.cuts).toBe(20);
      if (Math.abs(belief.mean - gain) > 2 * belief.sd) far += 1;
    }
    // 4.6 % of 200 are 9; 20 or more would have a chance under 0.1 %.
    expect(far).toBeLessThan(20);
  });

  it('grows surer with every piece, and weighs a coarse measurement less', () => {
    const random = new Random(7);
    const once = updateBelief(priorBelief('mill'), outcomes(1.2, 10, 1, random));
    const twice = updateBelief(once, outcomes(1.2, 10, 1, random));
    expect(once.sd).toBeLessThan(0.05);
    expect(twice.sd).toBeLessThan(once.sd);
    const coarse = updateBelief(priorBelief('mill'), outcomes(1.2, 10, 100, random));
    expect(coarse.sd).toBeGreaterThan(2 * once.sd);
  });

  it('is not turned by one misread cell', () => {
    const good = outcomes(1, 20, 1, new Random(3));
    const misread = { predictedOhm: 100, achievedOhm: 900, uOhm: 1 };
    const belief = updateBelief(priorBelief('mill'), [...good, misread]);
    expect(Math.abs(belief.mean - 1)).toBeLessThan(0.08);
  });

  it('learns nothing from cells that were not cut or not measured', () => {
    const nothing = [
      { predictedOhm: 0, achievedOhm: 3, uOhm: 1 },
      { predictedOhm: 10, achievedOhm: Number.NaN, uOhm: 1 },
    ];
    expect(updateBelief(priorBelief('mill'), nothing)).toEqual(priorBelief('mill'));
  });

  it('returns to caution: wholly with another tool, in part with another sheet', () => {
    const learnt = updateBelief(priorBelief('mill'), outcomes(1.1, 40, 1, new Random(5)));
    expect(afterToolChange('mill')).toEqual(priorBelief('mill'));
    const sheet = afterSheetChange(learnt, 'mill');
    expect(sheet.mean).toBe(learnt.mean);
    expect(sheet.sd).toBeGreaterThan(learnt.sd);
    expect(sheet.sd).toBeLessThan(priorBelief('mill').sd);
  });

  it('never doubts more than before it has seen anything', () => {
    fc.assert(
      fc.property(fc.integer(), fc.integer({ min: 1, max: 30 }), (seed, cuts) => {
        const belief = updateBelief(priorBelief('hand'), outcomes(1.3, cuts, 3, new Random(seed)));
        expect(belief.sd).toBeLessThanOrEqual(priorBelief('hand').sd + 1e-3);
        expect(belief.sd).toBeGreaterThan(0);
      }),
    );
  });
});
