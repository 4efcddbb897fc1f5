import type { Random } from '../../src/fader/random.ts';
import type { Specimen } from '../../src/fader/specimen.ts';
import type { RigParameters } from './parameters-schema.ts';
import type { RigTraits } from './traits.ts';

/** Follows a driver with free play: moves only when the driver has crossed `half` to either side. */
function drag(follower: number, driver: number, half: number): number {
  return Math.min(Math.max(follower, driver - half), driver + half);
}

/**
 * From counted steps to the wiper's place on the track: lead screw, backlash, sprung fork, clamp, knob, play.
 *
 * The chain remembers where it was (play is memory), so it must be led along every motion: between two calls of
 * `follow` the counted position must run one way.
 */
export class Fixture {
  private readonly traits: RigTraits;
  private readonly forkYieldMm: number;
  private readonly random: Random;
  private specimen: Specimen | null = null;
  /** Counted minus real position of the screw, mm: homing scatter and lost steps. */
  private countErrorMm = 0;
  private countedMm = 0;
  private nutMm = 0;
  private bodyMm = 0;
  private wiper = 0;
  private hanging = 0;
  private dirt: number | null = null;
  private stroked = 0;
  private openUntilMm: number | null = null;
  /** Station fault: relative error of the scale. */
  extraScale = 0;

  constructor(parameters: RigParameters, traits: RigTraits, random: Random) {
    this.traits = traits;
    this.forkYieldMm = parameters.carriage.forkYieldMm;
    this.random = random;
  }

  get wiperMm(): number {
    return this.wiper;
  }

  /** Full strokes made with this fader since it was loaded. */
  get strokes(): number {
    return this.specimen ? this.stroked / this.specimen.slide.travelMm : 0;
  }

  get dirtAtMm(): number | null {
    return this.dirt;
  }

  /** Knob travel from the fader's closed stop, mm; null without a fader. */
  get knobMm(): number | null {
    if (!this.specimen) return null;
    return Math.min(Math.max(this.relativeMm(), 0), this.specimen.slide.travelMm);
  }

  load(specimen: Specimen | null): void {
    this.specimen = specimen;
    this.stroked = 0;
    this.openUntilMm = null;
    this.dirt = specimen?.wiper.dirt?.atMm ?? null;
    // The operator brings knob and fork together, and slack lies anywhere.
    this.bodyMm = this.forkMm();
    this.wiper = this.knobMm ?? 0;
    this.hanging = this.wiper;
  }

  /** Counted distance to the home switch, which trips `scatterMm` from its usual place, um. */
  homeDistanceUm(scatterMm: number): number {
    return (scatterMm - this.screwMm()) * 1000;
  }

  /** At the home switch the counter becomes zero; nothing moves. */
  setHome(scatterMm: number): void {
    this.countErrorMm = scatterMm;
    this.countedMm = 0;
  }

  /** Steps that the motor did not follow. */
  loseSteps(lostMm: number): void {
    this.countErrorMm -= lostMm;
  }

  /** Leads the chain to a counted position. `speedMmPerS` matters for lifting only. */
  follow(countedUm: number, speedMmPerS: number): void {
    const targetMm = countedUm / 1000;
    const steps = this.stepsFor(targetMm);
    const fromMm = this.countedMm;
    for (let i = 1; i <= steps; i++) {
      this.countedMm = fromMm + ((targetMm - fromMm) * i) / steps;
      this.settle(speedMmPerS);
    }
  }

  /** The wiper does not touch at this moment (it lifts while moving; at rest the spring brings it back). */
  isOpen(speedMmPerS: number): boolean {
    return speedMmPerS !== 0 && this.openUntilMm !== null;
  }

  /** Counted positions between which the fork does not reach the end of its yield, um. */
  freeRangeUm(): readonly [number, number] {
    if (!this.specimen) return [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
    const atClosedMm = this.traits.datumMm + this.specimen.clamping.shiftMm;
    const scale = 1 + this.traits.scaleError + this.extraScale;
    const counted = (mm: number): number => (mm / scale - this.countErrorMm) * 1000;
    return [
      counted(atClosedMm - this.forkYieldMm),
      counted(atClosedMm + this.specimen.slide.travelMm + this.forkYieldMm),
    ];
  }

  // A plain chain needs only the end of a one-way motion; one that jumps or lifts must be led in small steps.
  private stepsFor(targetMm: number): number {
    if (!this.specimen) return 1;
    const { slide, wiper } = this.specimen;
    if (slide.stickSlipMm === 0 && wiper.lifting === null) return 1;
    return Math.max(1, Math.ceil(Math.abs(targetMm - this.countedMm) / 0.02));
  }

  private screwMm(): number {
    return this.countedMm + this.countErrorMm;
  }

  /** True place of the fork along the bench, mm. */
  private forkMm(): number {
    const { scaleError, screwErrorMm, screwPeriodMm, screwPhase } = this.traits;
    const wave = screwErrorMm * Math.sin((2 * Math.PI * this.nutMm) / screwPeriodMm + screwPhase);
    return this.nutMm * (1 + scaleError + this.extraScale) + wave;
  }

  /** Fork relative to the fader's closed stop, wherever the clamp lets the fader sit. */
  private relativeMm(): number {
    const { shiftMm, giveMm } = this.specimen?.clamping ?? { shiftMm: 0, giveMm: 0 };
    const given = giveMm === 0 ? this.forkMm() : this.bodyMm;
    return given - this.traits.datumMm - shiftMm;
  }

  private settle(speedMmPerS: number): void {
    this.nutMm = drag(this.nutMm, this.screwMm(), this.traits.backlashMm / 2);
    if (!this.specimen) return;
    this.bodyMm = drag(this.bodyMm, this.forkMm(), this.specimen.clamping.giveMm / 2);
    const before = this.wiper;
    const knob = this.knobMm ?? 0;
    this.wiper = this.slipped(drag(this.hanging, knob, this.specimen.slide.playMm / 2));
    const movedMm = Math.abs(this.wiper - before);
    this.stroked += movedMm;
    if (movedMm > 0) {
      this.wanderDirt(before, this.wiper);
      this.lift(movedMm, Math.abs(speedMmPerS));
    }
  }

  /** Damaged bearings hold the slider until the force is large enough; then it jumps the whole way. */
  private slipped(pulledToMm: number): number {
    const stick = this.specimen?.slide.stickSlipMm ?? 0;
    if (stick > 0 && Math.abs(pulledToMm - this.hanging) < stick * this.random.uniform(0.5, 1)) return this.hanging;
    this.hanging = pulledToMm;
    return pulledToMm;
  }

  private wanderDirt(fromMm: number, toMm: number): void {
    const dirt = this.specimen?.wiper.dirt;
    if (!dirt || this.dirt === null) return;
    const half = dirt.lengthMm / 2;
    const edge = toMm > fromMm ? this.dirt + half : this.dirt - half;
    const left = toMm > fromMm ? fromMm <= edge && toMm > edge : fromMm >= edge && toMm < edge;
    if (!left) return;
    if (this.random.chance(dirt.vanishChance)) this.dirt = null;
    else if (this.random.chance(0.5)) this.dirt += this.random.normal(0, 0.5);
  }

  private lift(movedMm: number, speedMmPerS: number): void {
    const lifting = this.specimen?.wiper.lifting;
    if (!lifting) return;
    if (this.openUntilMm !== null) {
      if (this.stroked >= this.openUntilMm) this.openUntilMm = null;
      return;
    }
    if (this.random.chance(1 - Math.exp(-lifting.perMm * (speedMmPerS / 100) * movedMm)))
      this.openUntilMm = this.stroked - lifting.lengthMm * Math.log(1 - this.random.uniform());
  }
}
