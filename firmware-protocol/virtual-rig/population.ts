import { drawFault, type Fault, type FaultKind } from '../../src/fader/faults.ts';
import type { Lot } from '../../src/fader/lot.ts';
import { makeSpecimen } from '../../src/fader/make-specimen.ts';
import type { Finish, PartParameters } from '../../src/fader/parameters.ts';
import { Random } from '../../src/fader/random.ts';
import { partOfSerial } from '../../src/fader/serial-number.ts';
import type { Specimen } from '../../src/fader/specimen.ts';
import { type TargetInterpolation, type TargetPoint, targetProfile } from '../../src/fader/target-profile.ts';
import type { RigParameters } from './parameters-schema.ts';

/** What the rig must know of a law: plain numbers, so that any law can be printed. */
export interface PopulationLaw {
  /** Part name, e.g. `PF-104`; chooses the part's parameters, or a scaled PF-104 when there are none. */
  readonly id: string;
  readonly travelMm: number;
  readonly nominalOhm: number;
  readonly interpolation: TargetInterpolation;
  readonly points: readonly TargetPoint[];
}

export interface PopulationOptions {
  readonly seed: number;
  readonly size: number;
  readonly law: PopulationLaw;
  readonly finish: Finish;
  /** Share of faders with one seeded fault, 0..1. */
  readonly faultShare: number;
  /** Which faults may be seeded; one of them each time. */
  readonly faults: readonly FaultKind[];
  /** Year and week of the serial numbers. */
  readonly year: number;
  readonly week: number;
}

/** Faults of the fader itself; 14 (bad clamping) belongs to the station and comes only when asked for. */
export const faderFaults: readonly FaultKind[] = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13];

/** A batch of faders, each made when it is asked for: fader 17 of a seed is the same whatever the size. */
export interface Population {
  readonly size: number;
  readonly lot: Lot;
  readonly part: PartParameters;
  /** @throws RangeError when there is no such fader */
  specimen(index: number): Specimen;
}

const keptSpecimens = 64;

export function makePopulation(options: PopulationOptions, parameters: RigParameters): Population {
  const { law, size } = options;
  if (!Number.isInteger(size) || size < 1 || size > 99_999)
    throw new RangeError(`a population has 1 to 99999 faders, not ${size}`);
  const part = partFor(law, parameters);
  const random = new Random(options.seed).sub('population');
  const allowedOhm = (part.endOhm[0] + part.endOhm[1]) / 2 + mean(parameters.track.commonLeadOhm);
  const target = targetProfile(
    law.points,
    part.closedEdgeMm,
    part.openEdgeMm,
    law.interpolation,
    allowedOhm / part.nominalOhm,
  );
  const lot: Lot = { part: partOfSerial(law.id), year: options.year, week: options.week };
  const kept = new Map<number, Specimen>();
  return {
    size,
    lot,
    part,
    specimen(index) {
      if (!Number.isInteger(index) || index < 0 || index >= size)
        throw new RangeError(`there is no fader ${index}; this batch has 0 to ${size - 1}`);
      const known = kept.get(index);
      if (known) return known;
      const own = random.sub('faults', index);
      const faults: Fault[] =
        options.faults.length > 0 && own.chance(options.faultShare)
          ? [drawFault(own.pick(options.faults), parameters.faults, part, own)]
          : [];
      const specimen = makeSpecimen({ lot, index, part, target, parameters, finish: options.finish, faults }, random);
      kept.set(index, specimen);
      const oldest = kept.keys().next();
      if (kept.size > keptSpecimens && !oldest.done) kept.delete(oldest.value);
      return specimen;
    },
  };
}

function mean(range: readonly [number, number]): number {
  return (range[0] + range[1]) / 2;
}

function partFor(law: PopulationLaw, parameters: RigParameters): PartParameters {
  const known = parameters.parts[law.id];
  if (known) return { ...known, travelMm: law.travelMm, nominalOhm: law.nominalOhm };
  const model = parameters.parts['PF-104'];
  if (!model) throw new RangeError(`the parameters know neither ${law.id} nor PF-104`);
  const scale = law.travelMm / model.travelMm;
  return {
    ...model,
    travelMm: law.travelMm,
    nominalOhm: law.nominalOhm,
    jointMm: [model.jointMm[0] * scale, model.jointMm[1] * scale],
    openEdgeMm: law.travelMm - (model.travelMm - model.openEdgeMm),
  };
}
