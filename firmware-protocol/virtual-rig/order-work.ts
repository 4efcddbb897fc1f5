import type { Random } from '../../src/fader/random.ts';
import { approachLegs } from '../codec/approach.ts';
import type { WireLimits } from '../codec/limits.ts';
import { encodeGlideEnd, encodeReading } from '../codec/reading.ts';
import type { Carriage, LegOrder } from './carriage.ts';
import type { Fixture } from './fixture.ts';
import { GlideStream } from './glide-stream.ts';
import type { Feed, Instrument } from './instrument.ts';
import type { RigParameters } from './parameters-schema.ts';
import type { RigState } from './rig-state.ts';

/** The parts an order works with. */
export interface Bench {
  readonly parameters: RigParameters;
  readonly limits: WireLimits;
  readonly state: RigState;
  readonly carriage: Carriage;
  readonly fixture: Fixture;
  readonly instrument: Instrument;
  readonly random: Random;
}

/** Answer fields, or null for the status of the moment. */
export type Outcome = Record<string, number> | null;

/** An order in work: when its motion and the whole of it end (rig time), and what it answers then. */
export interface Work {
  readonly word: string;
  readonly moveEndUs: number;
  readonly doneUs: number;
  readonly glide: GlideStream | null;
  finish(): Outcome;
}

type Fields = Readonly<Record<string, number>>;

/** Starts the order. The fields have been checked. */
export function beginWork(bench: Bench, word: string, fields: Fields, nowUs: number): Work {
  switch (word) {
    case 'home':
      return home(bench, nowUs);
    case 'visit':
      return visit(bench, fields, nowUs);
    case 'sense':
      return reading(bench, word, fields, nowUs, 'source');
    case 'ohms':
      return reading(bench, word, fields, nowUs, 'reference');
    case 'glide':
      return glide(bench, fields, nowUs);
    case 'creep':
      return move(bench, word, nowUs, slowly(bench, f(fields, 'x'), f(fields, 'v')), () => null);
    case 'park': {
      const { parkUm } = bench.parameters.carriage;
      return move(bench, word, nowUs, slowly(bench, parkUm, bench.limits.homeSpeedUmPerS), () => {
        bench.state.powerOff();
        return null;
      });
    }
    default:
      throw new RangeError(`the virtual rig has no work for the word ${word}`);
  }
}

function f(fields: Fields, key: string): number {
  const value = fields[key];
  if (value === undefined) throw new RangeError(`the order lacks ${key} although it was checked`);
  return value;
}

function slowly(bench: Bench, targetUm: number, speedUmPerS: number): LegOrder {
  const accelMmPerS2 = bench.parameters.carriage.creepAccelMmPerS2;
  return { targetUm: bench.carriage.stepUm(targetUm), speedUmPerS, accelMmPerS2, jerkMmPerS3: 0 };
}

function move(bench: Bench, word: string, nowUs: number, leg: LegOrder, finish: () => Outcome): Work {
  bench.carriage.start(nowUs, [leg]);
  const endUs = Math.max(nowUs, bench.carriage.endUs);
  return { word, moveEndUs: endUs, doneUs: endUs, glide: null, finish };
}

function home(bench: Bench, nowUs: number): Work {
  const { carriage, fixture, random, parameters, limits } = bench;
  const scatterMm = random.normal(0, parameters.carriage.homeSdMm);
  bench.state.homed = false;
  const targetUm = carriage.positionUm(nowUs) + fixture.homeDistanceUm(scatterMm);
  const leg = { ...slowly(bench, 0, limits.homeSpeedUmPerS), targetUm };
  return move(bench, 'home', nowUs, leg, () => {
    fixture.setHome(scatterMm);
    carriage.recount(0);
    bench.state.homed = true;
    return null;
  });
}

function legOrder(fields: Fields, targetUm: number): LegOrder {
  return { targetUm, speedUmPerS: f(fields, 'v'), accelMmPerS2: f(fields, 'a'), jerkMmPerS3: f(fields, 'j') };
}

function visit(bench: Bench, fields: Fields, nowUs: number): Work {
  const { carriage, limits } = bench;
  const fromUm = carriage.positionUm(nowUs);
  const targetUm = carriage.stepUm(f(fields, 'x'));
  let atUm = fromUm;
  const legs = approachLegs({
    fromUm,
    targetUm,
    up: f(fields, 'up') === 1,
    lastUp: carriage.lastWentUp,
    travelMinUm: limits.travelMinUm,
    travelMaxUm: limits.travelMaxUm,
  }).map((distanceUm) => {
    atUm = carriage.stepUm(atUm + distanceUm);
    return legOrder(fields, atUm);
  });
  carriage.start(nowUs, legs);
  const moveEndUs = Math.max(nowUs, legs.length === 0 ? nowUs : carriage.endUs);
  const readAtUs = moveEndUs + f(fields, 'w');
  return { ...reading(bench, 'visit', fields, readAtUs, 'source'), moveEndUs };
}

function reading(bench: Bench, word: string, fields: Fields, fromUs: number, feed: Feed): Work {
  const integrationUs = f(fields, 't');
  const count = f(fields, 'n');
  const switchUs = feed === 'reference' ? bench.parameters.meter.settleUs : 0;
  const readAtUs = fromUs + switchUs;
  return {
    word,
    moveEndUs: fromUs,
    doneUs: readAtUs + count * integrationUs + switchUs,
    glide: null,
    finish() {
      bench.carriage.advance(readAtUs);
      const { wiper, track, overRange } = bench.instrument.read(readAtUs, integrationUs, count, feed);
      const positionUm = Math.round(bench.carriage.positionUm(readAtUs));
      return encodeReading({ wiper, track }, positionUm, Math.round(readAtUs), overRange);
    },
  };
}

function glide(bench: Bench, fields: Fields, nowUs: number): Work {
  const { carriage, instrument } = bench;
  const periodUs = f(fields, 'e');
  carriage.start(nowUs, [legOrder(fields, carriage.stepUm(f(fields, 'x')))]);
  const endUs = Math.max(nowUs, carriage.endUs);
  const stream = new GlideStream(carriage, instrument, nowUs, endUs, periodUs);
  return {
    word: 'glide',
    moveEndUs: endUs,
    doneUs: endUs + periodUs,
    glide: stream,
    finish() {
      carriage.advance(endUs);
      return encodeGlideEnd({
        positionUm: carriage.positionUm(endUs),
        clockUs: endUs,
        samplesSent: stream.made,
        trackMean: stream.trackMean ?? instrument.sample(endUs, periodUs).track,
      });
    },
  };
}
