import type { PopulationLaw } from '../../../firmware-protocol/virtual-rig/population.ts';

/** A law of our own for tests, in the shape of a programme fader. */
export const testLaw: PopulationLaw = {
  id: 'PF-104',
  travelMm: 104,
  nominalOhm: 10_000,
  interpolation: 'dbLinear',
  points: [
    { travelMm: 6, lossDb: 70 },
    { travelMm: 18, lossDb: 50 },
    { travelMm: 30, lossDb: 40 },
    { travelMm: 54, lossDb: 20 },
    { travelMm: 78, lossDb: 10 },
    { travelMm: 102, lossDb: 0.3 },
  ],
};
