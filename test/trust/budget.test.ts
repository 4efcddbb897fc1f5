import { describe, expect, it } from 'vitest';
import { arcsine, type BudgetRow, budgetRow, combine, rectangular, smallSampleFactor } from '../../src/trust/budget.ts';
import conformity from '../reference/uncertainty-conformity.json' with { type: 'json' };
import gum from '../reference/uncertainty-gum.json' with { type: 'json' };

const rowOf = (contribution: number, degreesOfFreedom: number | null): BudgetRow =>
  budgetRow({
    source: 'row',
    kind: 'B',
    standardUncertainty: contribution,
    inputUnit: 'nm',
    sensitivity: -1,
    degreesOfFreedom,
    basis: 'test',
  });

describe('budget', () => {
  it('combines the end-gauge example of the GUM, H.1', () => {
    const { endGauge } = gum;
    const budget = combine(
      endGauge.contributionsNm.map((u, i) => rowOf(u, endGauge.degreesOfFreedom[i] ?? null)),
      'mm',
    );
    expect(Math.round(budget.combined)).toBe(endGauge.printedCombinedNm);
    expect(Math.abs((budget.effectiveDegreesOfFreedom ?? 0) - endGauge.printedEffectiveDegrees)).toBeLessThan(0.1);
    expect(budget.expanded).toBe(2 * budget.combined);
  });

  it('combines the resistor example of EA-4/02, S3', () => {
    const { contributionsMohm, printedCombinedMohm, printedExpandedMohm } = conformity.ea402S3Resistor;
    const budget = combine(
      contributionsMohm.map((u) => rowOf(u, null)),
      'ohm',
    );
    expect(Number(budget.combined.toFixed(2))).toBe(printedCombinedMohm);
    expect(Math.round(budget.expanded)).toBe(printedExpandedMohm);
    expect(budget.effectiveDegreesOfFreedom).toBeNull();
  });

  it('widens few readings by the Student factors of GUM table G.2', () => {
    for (const [degrees, printed] of Object.entries(gum.studentTwoSided9545.values)) {
      const t = 2 * smallSampleFactor(Number(degrees));
      expect(Math.abs(t - printed), `nu = ${degrees}`).toBeLessThan(0.011);
      expect(coverage(t, Number(degrees)), `nu = ${degrees}`).toBeCloseTo(0.9545, 2);
    }
    expect(smallSampleFactor(0)).toBe(Number.POSITIVE_INFINITY);
    expect(smallSampleFactor(Number.NaN)).toBe(Number.POSITIVE_INFINITY);
    expect(smallSampleFactor(1e6)).toBeCloseTo(1, 5);
  });

  it('knows the standard deviations of a rectangle and of a sine', () => {
    const steps = 20_000;
    let square = 0;
    let sine = 0;
    for (let i = 0; i < steps; i += 1) {
      square += (2 * ((i + 0.5) / steps) - 1) ** 2;
      sine += Math.sin((2 * Math.PI * (i + 0.5)) / steps) ** 2;
    }
    expect(rectangular(1)).toBeCloseTo(Math.sqrt(square / steps), 6);
    expect(arcsine(1)).toBeCloseTo(Math.sqrt(sine / steps), 6);
  });
});

/** Probability of |T| < t for Student's distribution, by the substitution T = sqrt(nu) tan(a). */
function coverage(t: number, degrees: number): number {
  const to = Math.atan(t / Math.sqrt(degrees));
  const steps = 20_000;
  const mass = (limit: number): number => {
    let sum = 0;
    for (let i = 0; i < steps; i += 1) sum += Math.cos(((i + 0.5) / steps) * limit) ** (degrees - 1);
    return (sum / steps) * limit;
  };
  return mass(to) / mass(Math.PI / 2);
}
