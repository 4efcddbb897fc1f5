import { describe, expect, it } from 'vitest';
import { ratioAfter } from '../../src/trim/needle.ts';
import { proportionalPlan } from '../../src/trim/proportional.ts';

/**
 * Closed forms of a resistive divider and of a trim that can only add; every value follows from the formula beside it
 * and was computed by an independent script. A divider of 100, 200, 300 and 400 ohm gets 50 ohm in its second cell.
 */
const cut = { cellOhm: 200, belowOhm: 100, totalOhm: 1000 };

describe('a divider whose second cell grows', () => {
  it('falls below the cut: S / (Rp + r)', () => {
    expect(ratioAfter(cut, 'closedSide', 0)).toBeCloseTo(0.1, 12);
    expect(ratioAfter(cut, 'closedSide', 50)).toBeCloseTo(0.095238, 6);
  });
  it('rises above it: (S + r) / (Rp + r)', () => {
    expect(ratioAfter(cut, 'openSide', 0)).toBeCloseTo(0.3, 12);
    expect(ratioAfter(cut, 'openSide', 50)).toBeCloseTo(0.333333, 6);
  });
  it('moves the tap below by -20 log10(1 + r / Rp)', () => {
    expect(20 * Math.log10(ratioAfter(cut, 'closedSide', 50) / 0.1)).toBeCloseTo(-0.42379, 5);
  });
});

describe('the closed-form trim: s = max(R / t), r = s t - R', () => {
  const shares = [0.1, 0.2, 0.3, 0.4];
  const cells = [95, 210, 280, 390];
  const plan = proportionalPlan(cells, shares);
  it('scales to 1050 ohm', () => {
    expect(plan.scaleOhm).toBeCloseTo(1050, 9);
  });
  it('adds 35 ohm to the third cell and nothing to the second', () => {
    expect(plan.addedOhm[2]).toBeCloseTo(35, 9);
    expect(plan.addedOhm[1]).toBeCloseTo(0, 9);
  });
  it('leaves no error of any ratio', () => {
    const after = cells.map((ohm, i) => ohm + (plan.addedOhm[i] ?? 0));
    shares.forEach((share, i) => {
      expect((after[i] ?? 0) / plan.scaleOhm).toBeCloseTo(share, 12);
    });
  });
});
