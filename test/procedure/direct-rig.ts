/**
 * The physical model of the virtual rig behind a RigPort, without wire, clock or waiting: rig time is a number that
 * each order moves on. For tests that need thousands of readings.
 */
import { approachLegs } from '../../firmware-protocol/codec/approach.ts';
import { Carriage } from '../../firmware-protocol/virtual-rig/carriage.ts';
import { certify } from '../../firmware-protocol/virtual-rig/certificate.ts';
import { Fixture } from '../../firmware-protocol/virtual-rig/fixture.ts';
import { type Feed, Instrument } from '../../firmware-protocol/virtual-rig/instrument.ts';
import { limitsOf } from '../../firmware-protocol/virtual-rig/limits.ts';
import { Meter } from '../../firmware-protocol/virtual-rig/meter.ts';
import type { RigParameters } from '../../firmware-protocol/virtual-rig/parameters-schema.ts';
import { drawTraits } from '../../firmware-protocol/virtual-rig/traits.ts';
import { Random } from '../../src/fader/random.ts';
import type { Specimen } from '../../src/fader/specimen.ts';
import type {
  Approach,
  GlideOrder,
  GlideResult,
  MeterOrder,
  MotionOrder,
  RawReading,
  RawSample,
  RigLimits,
  RigPort,
  RigStatus,
  VisitOrder,
} from '../../src/procedure/rig-port.ts';
import type { Calibration } from '../../src/trust/calibration.ts';

export const madeAt = '2026-11-02T08:00:00Z';
export const dueAt = '2027-05-02T08:00:00Z';
export const measuredAt = '2026-11-25T10:00:00Z';

export interface DirectRig extends RigPort {
  readonly calibration: Calibration;
  /** Rig time, us. */
  nowUs(): number;
  load(specimen: Specimen): void;
}

export function createDirectRig(parameters: RigParameters, seed: number): DirectRig {
  const random = new Random(seed);
  const traits = drawTraits(parameters, random.sub('traits'));
  const fixture = new Fixture(parameters, traits, random.sub('fixture'));
  const carriage = new Carriage(parameters.carriage, fixture, parameters.carriage.parkUm);
  const meter = new Meter(parameters, traits, random.sub('meter'));
  const instrument = new Instrument(parameters, traits, fixture, carriage, meter);
  instrument.setConnected(true);
  const homing = random.sub('homing');
  const limits: RigLimits = limitsOf(parameters, false);
  let nowUs = 0;
  let loaded = 0;

  const status = (): RigStatus => ({
    positionUm: Math.round(carriage.positionUm(nowUs)),
    rigClockUs: Math.round(nowUs),
    motion: 'still',
    interlocks: { guardClosed: true, emergencyStopReleased: true, clampClosed: true },
  });

  const go = (order: MotionOrder, targets: readonly number[]): void => {
    if (targets.length === 0) return;
    carriage.start(
      nowUs,
      targets.map((targetUm) => ({ ...order, targetUm: carriage.stepUm(targetUm) })),
    );
    nowUs = Math.ceil(carriage.endUs);
    carriage.advance(nowUs);
  };

  const approach = (order: MotionOrder, side: Approach): void => {
    const fromUm = carriage.positionUm(nowUs);
    let atUm = fromUm;
    const legs = approachLegs({
      fromUm,
      targetUm: carriage.stepUm(order.targetUm),
      up: side === 'up',
      lastUp: carriage.lastWentUp,
      travelMinUm: limits.travelMinUm,
      travelMaxUm: limits.travelMaxUm,
    });
    go(
      order,
      legs.map((legUm) => {
        atUm += legUm;
        return atUm;
      }),
    );
  };

  const read = (order: MeterOrder, feed: Feed): RawReading => {
    const conversions = instrument.read(nowUs, order.integrationUs, order.conversions, feed);
    const startUs = nowUs;
    nowUs += order.integrationUs * order.conversions;
    const n = order.conversions;
    const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / n;
    const wiper = mean(conversions.wiper);
    const squares = conversions.wiper.reduce((sum, v) => sum + (v - wiper) ** 2, 0);
    return {
      positionUm: Math.round(carriage.positionUm(startUs)),
      rigClockUs: Math.round(startUs),
      conversions: n,
      wiperCounts: wiper,
      wiperSdCounts: n === 1 ? null : Math.sqrt(squares / (n - 1)),
      trackCounts: mean(conversions.track),
      overRange: conversions.overRange,
    };
  };

  return {
    identity: { model: 'bench-1', serial: traits.serial, firmware: 'direct', protocol: 1, isVirtual: true },
    limits,
    calibration: certify(traits, parameters, madeAt, dueAt, random.sub('certificate')),
    nowUs: () => nowUs,
    load(specimen) {
      instrument.load(specimen, random.sub('load', loaded++));
    },
    status: () => Promise.resolve(status()),
    power: () => Promise.resolve(),
    home() {
      const scatterMm = homing.normal(0, parameters.carriage.homeSdMm);
      const motion = { speedUmPerS: limits.homeSpeedUmPerS, accelMmPerS2: limits.accelMaxMmPerS2, jerkMmPerS3: 0 };
      const targetUm = carriage.positionUm(nowUs) + fixture.homeDistanceUm(scatterMm);
      carriage.start(nowUs, [{ ...motion, targetUm }]);
      nowUs = Math.ceil(carriage.endUs);
      carriage.advance(nowUs);
      fixture.setHome(scatterMm);
      carriage.recount(0);
      return Promise.resolve(status());
    },
    visit(order: VisitOrder) {
      approach(order, order.approach);
      nowUs += order.dwellUs;
      return Promise.resolve(read(order, 'source'));
    },
    sense: (order) => Promise.resolve(read(order, 'source')),
    ohms: (order) => Promise.resolve(read(order, 'reference')),
    glide(order: GlideOrder, onSamples): Promise<GlideResult> {
      carriage.start(nowUs, [{ ...order, targetUm: carriage.stepUm(order.targetUm) }]);
      const endUs = carriage.endUs;
      const samples: RawSample[] = [];
      let trackSum = 0;
      for (let startUs = nowUs; startUs < endUs; startUs += order.samplePeriodUs) {
        const middleUs = startUs + order.samplePeriodUs / 2;
        carriage.advance(middleUs);
        const { wiper, track } = instrument.sample(middleUs, order.samplePeriodUs);
        trackSum += track;
        samples.push({
          counter: samples.length,
          positionUm: Math.round(carriage.positionUm(middleUs)),
          rigClockUs: Math.round(middleUs),
          wiperCounts: wiper,
        });
      }
      nowUs = Math.ceil(Math.max(endUs, nowUs + samples.length * order.samplePeriodUs));
      carriage.advance(nowUs);
      onSamples(samples);
      return Promise.resolve({
        positionUm: Math.round(carriage.positionUm(nowUs)),
        rigClockUs: nowUs,
        samplesSent: samples.length,
        samplesReceived: samples.length,
        trackCounts: Math.round(trackSum / Math.max(1, samples.length)),
      });
    },
    park() {
      const motion = { speedUmPerS: limits.homeSpeedUmPerS, accelMmPerS2: 500, jerkMmPerS3: 0 };
      go({ ...motion, targetUm: 0 }, [parameters.carriage.parkUm]);
      return Promise.resolve({ ...status(), motion: 'unpowered' as const });
    },
    halt: () => Promise.resolve(status()),
    onEvent: () => () => {},
  };
}
