import { type FaultKind, faultKinds } from '../../src/fader/faults.ts';
import type { Finish } from '../../src/fader/parameters.ts';
import type { Disturbance } from './disturbance.ts';
import { defaultParameters } from './parameters.ts';
import type { RigParameters } from './parameters-schema.ts';
import { faderFaults, type PopulationLaw } from './population.ts';

/** Everything a virtual rig can be asked for; only the law has no default. */
export interface RigOptions {
  readonly law: PopulationLaw;
  readonly seed?: number;
  /** Faders in the batch. */
  readonly size?: number;
  readonly finish?: Finish;
  readonly faultShare?: number;
  readonly faults?: readonly FaultKind[];
  /** Two-digit year and week of the serial numbers; 26 and a week by finish unless told. */
  readonly year?: number;
  readonly week?: number;
  /** Mechanics and meter run so many times faster than the clock. */
  readonly timeFactor?: number;
  readonly disturbance?: Partial<Disturbance>;
  /** After `park` a virtual operator puts the next fader in. */
  readonly autoNext?: boolean;
  readonly parameters?: RigParameters;
}

/** Tracks to be trimmed are other pieces than faders that came finished: no serial number may name one of each. */
const weekOf = (finish: Finish): number => (finish === 'trimming' ? 47 : 48);

/** Options that can cross a process boundary, and all of them given. */
export type CompleteRigOptions = Required<Omit<RigOptions, 'disturbance'>> & { readonly disturbance: Disturbance };

/** @throws RangeError when an option is outside what makes sense */
export function completeOptions(options: RigOptions): CompleteRigOptions {
  const parameters = options.parameters ?? defaultParameters;
  const finish = options.finish ?? 'delivered';
  const complete: CompleteRigOptions = {
    law: options.law,
    seed: options.seed ?? 1,
    size: options.size ?? 24,
    finish,
    faultShare: options.faultShare ?? 0,
    faults: options.faults ?? faderFaults,
    year: options.year ?? 26,
    week: options.week ?? weekOf(finish),
    timeFactor: options.timeFactor ?? 1,
    autoNext: options.autoNext ?? false,
    parameters,
    disturbance: {
      corruptOneIn: 0,
      dropLines: 0,
      duplicateLines: 0,
      delayLines: 0,
      delayMs: 0,
      latencyMs: parameters.line.latencyMs,
      baud: null,
      ...options.disturbance,
    },
  };
  const { seed, faultShare, faults, timeFactor } = complete;
  if (!Number.isSafeInteger(seed)) throw new RangeError(`the seed must be a whole number, not ${seed}`);
  if (!(faultShare >= 0 && faultShare <= 1)) throw new RangeError(`the fault share must be 0 to 1, not ${faultShare}`);
  const unknown = faults.find((kind) => !faultKinds.includes(kind));
  if (unknown !== undefined) throw new RangeError(`there is no fault ${unknown}; they are 1 to 14`);
  if (!(timeFactor > 0 && timeFactor <= 1000))
    throw new RangeError(`the time factor must be above 0 and at most 1000, not ${timeFactor}`);
  return complete;
}
