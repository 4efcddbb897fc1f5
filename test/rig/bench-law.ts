import type { PopulationLaw } from '../../firmware-protocol/virtual-rig/population.ts';

/** A plain law for the faders in the virtual rig; what it says plays no part in these tests. */
export const law: PopulationLaw = {
  id: 'PF-104',
  travelMm: 104,
  nominalOhm: 10_000,
  interpolation: 'dbLinear',
  points: [
    { travelMm: 4, lossDb: 60 },
    { travelMm: 20, lossDb: 40 },
    { travelMm: 50, lossDb: 20 },
    { travelMm: 80, lossDb: 8 },
    { travelMm: 102, lossDb: 0 },
  ],
};
