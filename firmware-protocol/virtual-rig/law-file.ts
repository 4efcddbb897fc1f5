import { z } from 'zod';
import type { PopulationLaw } from './population.ts';

const lawFile = z.object({
  id: z.string().min(1),
  travelMm: z.number().positive(),
  resistance: z.object({ nominalOhm: z.number().positive() }),
  interpolation: z.enum(['dbLinear', 'stepped']),
  points: z.array(z.object({ travelMm: z.number(), lossDb: z.number().min(0) })).min(2),
});

/** The law file cannot be used. */
export class RigLawFileError extends Error {
  override readonly name = 'RigLawFileError';
  readonly code = 'rigLawFile';
  readonly userFixable = true;
}

/** What the rig needs of a law file (JSON); tolerances and marks are none of its business. @throws RigLawFileError */
export function lawFrom(text: string, source: string): PopulationLaw {
  let raw: unknown;
  try {
    raw = JSON.parse(text);
  } catch (error) {
    throw new RigLawFileError(`${source} is not JSON: ${String(error)}. Give a law file (JSON).`, { cause: error });
  }
  const checked = lawFile.safeParse(raw);
  if (!checked.success) {
    const faults = checked.error.issues.map((i) => `${i.path.join('.') || 'file'}: ${i.message}`).join('; ');
    throw new RigLawFileError(`${source} is not a law the rig can print. ${faults}. See docs/laws.md.`);
  }
  const { id, travelMm, resistance, interpolation, points } = checked.data;
  return {
    id,
    travelMm,
    nominalOhm: resistance.nominalOhm,
    interpolation,
    points: points.map((p) => ({ travelMm: p.travelMm, lossDb: p.lossDb })),
  };
}
