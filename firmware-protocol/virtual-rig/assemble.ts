import type { Random } from '../../src/fader/random.ts';
import { Carriage } from './carriage.ts';
import { Fixture } from './fixture.ts';
import { Instrument } from './instrument.ts';
import { limitsOf } from './limits.ts';
import { Meter } from './meter.ts';
import type { Bench } from './order-work.ts';
import type { RigParameters } from './parameters-schema.ts';
import { RigState } from './rig-state.ts';
import type { RigTraits } from './traits.ts';

/** Where the carriage happens to stand when the rig is switched on, um. */
const startUm = 30_000;

/** Puts the mechanical and electrical parts of one rig together, each with its own stream of random numbers. */
export function assembleBench(
  parameters: RigParameters,
  traits: RigTraits,
  random: Random,
  paced: boolean,
): { readonly bench: Bench; readonly meter: Meter } {
  const fixture = new Fixture(parameters, traits, random.sub('fixture'));
  const carriage = new Carriage(parameters.carriage, fixture, startUm);
  const meter = new Meter(parameters, traits, random.sub('meter'));
  const instrument = new Instrument(parameters, traits, fixture, carriage, meter);
  instrument.setConnected(true);
  const limits = limitsOf(parameters, paced);
  const state = new RigState();
  return { bench: { parameters, limits, state, carriage, fixture, instrument, random: random.sub('home') }, meter };
}
