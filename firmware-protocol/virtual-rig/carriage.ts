import { type MotionPlan, planMotion } from '../codec/motion.ts';
import type { Fixture } from './fixture.ts';
import type { RigParameters } from './parameters-schema.ts';

export interface LegOrder {
  readonly targetUm: number;
  readonly speedUmPerS: number;
  readonly accelMmPerS2: number;
  readonly jerkMmPerS3: number;
}

interface Leg {
  readonly startUs: number;
  readonly endUs: number;
  readonly fromUm: number;
  readonly toUm: number;
  readonly plan: MotionPlan;
}

interface Brake {
  readonly startUs: number;
  readonly fromUm: number;
  /** Signed. */
  readonly speedUmPerS: number;
  readonly durationUs: number;
}

/**
 * The counted motion as a function of rig time: legs from rest to rest, or a brake, then standstill with the ringing of
 * the last stop. Nothing ticks; whoever asks names the moment, and `advance` leads the fixture up to it.
 */
export class Carriage {
  private readonly parameters: RigParameters['carriage'];
  private readonly fixture: Fixture;
  private restUm: number;
  private legs: Leg[] = [];
  private brake: Brake | null = null;
  private lastUp: boolean | null = null;
  private ring = { startUs: 0, amplitudeUm: 0 };
  private ledUs = 0;
  /** Legs made so far; names the pass over the track. */
  passes = 0;

  constructor(parameters: RigParameters['carriage'], fixture: Fixture, startUm: number) {
    this.parameters = parameters;
    this.fixture = fixture;
    this.restUm = startUm;
    fixture.follow(startUm, 0);
  }

  get lastWentUp(): boolean | null {
    return this.lastUp;
  }

  /** Nearest whole step, um. */
  stepUm(positionUm: number): number {
    const { stepsPerMm } = this.parameters;
    return (Math.round((positionUm * stepsPerMm) / 1000) * 1000) / stepsPerMm;
  }

  /** Moment of standstill; in the past when it stands. */
  get endUs(): number {
    if (this.brake) return this.brake.startUs + this.brake.durationUs;
    return this.legs.at(-1)?.endUs ?? 0;
  }

  /** Moment of the last standstill, or of the coming one. */
  get restUs(): number {
    return Math.max(this.endUs, this.ring.startUs);
  }

  isMoving(atUs: number): boolean {
    if (this.brake) return atUs < this.brake.startUs + this.brake.durationUs;
    return this.legs.some((leg) => atUs < leg.endUs);
  }

  isBraking(atUs: number): boolean {
    return this.brake !== null && this.isMoving(atUs);
  }

  /** Starts a motion from standstill; legs follow each other without a pause. */
  start(nowUs: number, orders: readonly LegOrder[]): void {
    this.rest(nowUs);
    let fromUm = this.restUm;
    let startUs = nowUs;
    for (const order of orders) {
      const toUm = order.targetUm;
      const plan = planMotion({
        distanceUm: toUm - fromUm,
        speedUmPerS: order.speedUmPerS,
        accelMmPerS2: order.accelMmPerS2,
        jerkMmPerS3: order.jerkMmPerS3,
      });
      this.legs.push({ startUs, endUs: startUs + plan.durationUs, fromUm, toUm, plan });
      startUs += plan.durationUs;
      fromUm = toUm;
    }
  }

  /** Highest speed of the whole motion in progress, um/s. */
  get peakSpeedUmPerS(): number {
    return Math.max(0, ...this.legs.map((leg) => leg.plan.peakSpeedUmPerS));
  }

  /** Brakes from now with the full acceleration, whatever the motion was. */
  brakeAt(nowUs: number, accelMmPerS2: number): void {
    this.advance(nowUs);
    const speedUmPerS = this.speedUmPerS(nowUs);
    const fromUm = this.exactUm(nowUs);
    this.legs = [];
    this.brake = {
      startUs: nowUs,
      fromUm,
      speedUmPerS,
      durationUs: (Math.abs(speedUmPerS) / (accelMmPerS2 * 1000)) * 1e6,
    };
  }

  /** Stops dead, as against an obstacle. */
  stopDead(nowUs: number): void {
    this.advance(nowUs);
    this.restUm = this.stepUm(this.exactUm(nowUs));
    this.legs = [];
    this.brake = null;
    this.ring = { startUs: nowUs, amplitudeUm: 0 };
  }

  /** The counter is set anew while standing. */
  recount(positionUm: number): void {
    this.restUm = positionUm;
    this.legs = [];
    this.brake = null;
  }

  /** Counted position on whole steps, um. */
  positionUm(atUs: number): number {
    return this.stepUm(this.exactUm(atUs));
  }

  /** Signed. */
  speedUmPerS(atUs: number): number {
    if (this.brake) {
      const { startUs, durationUs, speedUmPerS } = this.brake;
      const left = 1 - (atUs - startUs) / durationUs;
      return left > 0 ? speedUmPerS * Math.min(1, left) : 0;
    }
    const leg = this.legAt(atUs);
    return leg ? leg.plan.speedAtUmPerS(atUs - leg.startUs) : 0;
  }

  /** Deflection of the ringing after the last stop, um. */
  ringUm(atUs: number): number {
    const seconds = (atUs - this.ring.startUs) / 1e6;
    if (this.ring.amplitudeUm === 0 || seconds < 0) return 0;
    const { damping, resonanceHz } = this.parameters;
    const omega = 2 * Math.PI * resonanceHz;
    const envelope = Math.abs(this.ring.amplitudeUm) * Math.exp(-damping * omega * seconds);
    if (envelope < 0.001) return 0;
    return Math.sign(this.ring.amplitudeUm) * envelope * Math.cos(omega * Math.sqrt(1 - damping ** 2) * seconds);
  }

  /** Leads the fixture along the motion up to a moment; moments must not go back. */
  advance(toUs: number): void {
    if (toUs < this.ledUs) return;
    this.ledUs = toUs;
    while (this.legs.length > 0) {
      const leg = this.legs[0];
      if (!leg || toUs < leg.endUs) break;
      this.fixture.follow(leg.toUm, this.meanSpeed(leg));
      this.finishLeg(leg.toUm, leg.toUm > leg.fromUm, leg.endUs, this.ringAfter(leg));
      this.legs.shift();
    }
    const moving = this.legs[0];
    if (moving) this.fixture.follow(this.positionUm(toUs), this.speedUmPerS(toUs) / 1000);
    if (this.brake) {
      const endUs = this.brake.startUs + this.brake.durationUs;
      const { speedUmPerS } = this.brake;
      this.fixture.follow(this.positionUm(toUs), this.speedUmPerS(toUs) / 1000);
      if (toUs >= endUs) {
        const stopUm = this.positionUm(endUs);
        const up = speedUmPerS === 0 ? this.lastUp : speedUmPerS > 0;
        this.brake = null;
        this.finishLeg(stopUm, up, endUs, speedUmPerS === 0 ? 0 : this.shock(this.parameters.accelMaxMmPerS2, 0));
      }
    }
  }

  private rest(nowUs: number): void {
    this.advance(nowUs);
    if (this.legs.length > 0 || this.brake) throw new RangeError('a motion can only start from standstill');
  }

  private finishLeg(atUm: number, up: boolean | null, endUs: number, amplitudeUm: number): void {
    this.restUm = atUm;
    if (up !== null) this.lastUp = up;
    this.passes++;
    // A stop throws the knob on in the direction of travel.
    this.ring = { startUs: endUs, amplitudeUm: up ? amplitudeUm : -amplitudeUm };
  }

  private ringAfter(leg: Leg): number {
    return this.shock(leg.plan.peakAccelMmPerS2, leg.plan.jerkRampUs);
  }

  // An oscillator answers a step of acceleration with a / w^2; a ramp of that length averages such steps (sinc).
  private shock(accelMmPerS2: number, rampUs: number): number {
    const { resonanceHz } = this.parameters;
    const turns = Math.PI * resonanceHz * (rampUs / 1e6);
    const shape = turns === 0 ? 1 : Math.abs(Math.sin(turns) / turns);
    return ((accelMmPerS2 * 1000) / (2 * Math.PI * resonanceHz) ** 2) * shape;
  }

  private meanSpeed(leg: Leg): number {
    const seconds = (leg.endUs - leg.startUs) / 1e6;
    return seconds === 0 ? 0 : (leg.toUm - leg.fromUm) / 1000 / seconds;
  }

  private legAt(atUs: number): Leg | undefined {
    return this.legs.find((leg) => atUs < leg.endUs);
  }

  private exactUm(atUs: number): number {
    if (this.brake) {
      const { startUs, fromUm, speedUmPerS, durationUs } = this.brake;
      const t = Math.min(Math.max(atUs - startUs, 0), durationUs) / 1e6;
      return fromUm + speedUmPerS * t * (durationUs === 0 ? 0 : 1 - (t * 1e6) / (2 * durationUs));
    }
    const leg = this.legAt(atUs);
    if (!leg) return this.legs.at(-1)?.toUm ?? this.restUm;
    return leg.fromUm + leg.plan.positionAtUm(atUs - leg.startUs);
  }
}
