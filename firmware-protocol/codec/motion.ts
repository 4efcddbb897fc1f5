/**
 * The motion profile that the protocol prescribes, so that the station can say beforehand how long a motion takes.
 * Rest to rest, symmetrical: a trapezoid of speed without jerk limit, seven pieces of constant jerk with it; shorter
 * motions drop the pieces they have no room for. Kinematics: integration of constant jerk (any mechanics textbook).
 */

export interface MotionRequest {
  /** Signed; 0 is no motion. */
  readonly distanceUm: number;
  readonly speedUmPerS: number;
  readonly accelMmPerS2: number;
  /** 0 = no jerk limit. */
  readonly jerkMmPerS3: number;
}

export interface MotionPlan {
  readonly durationUs: number;
  readonly peakSpeedUmPerS: number;
  readonly peakAccelMmPerS2: number;
  /** Time in which acceleration rises to its peak and falls again, each; 0 without jerk limit. */
  readonly jerkRampUs: number;
  /** Signed distance covered `tUs` after the start; 0 before it, exactly `distanceUm` at and after the end. */
  positionAtUm(tUs: number): number;
  /** Signed speed. */
  speedAtUmPerS(tUs: number): number;
}

/** Speed-up from rest to `peak`: ramp, constant acceleration, ramp. Seconds and um. */
interface SpeedUp {
  readonly peakSpeed: number;
  readonly peakAccel: number;
  readonly ramp: number;
  readonly steady: number;
}

/** Throws `RangeError` unless speed and acceleration are positive, jerk is not negative and all are finite. */
export function planMotion(request: MotionRequest): MotionPlan {
  const { distanceUm, speedUmPerS, accelMmPerS2, jerkMmPerS3 } = request;
  if (!Number.isFinite(distanceUm)) throw new RangeError(`A motion cannot cover ${distanceUm} um.`);
  checkDynamics(speedUmPerS, accelMmPerS2, jerkMmPerS3);
  const distance = Math.abs(distanceUm);
  if (distance === 0) {
    return {
      durationUs: 0,
      peakSpeedUmPerS: 0,
      peakAccelMmPerS2: 0,
      jerkRampUs: 0,
      positionAtUm: () => 0,
      speedAtUmPerS: () => 0,
    };
  }
  const accel = accelMmPerS2 * 1000;
  const jerk = jerkMmPerS3 * 1000;
  let up = speedUp(speedUmPerS, accel, jerk);
  // Speed-up and slow-down mirror each other, so together they cover peak speed times the duration of one.
  let cruise = distance / up.peakSpeed - speedUpTime(up);
  if (cruise < 0) {
    up = speedUp(peakSpeedForDistance(distance, accel, jerk), accel, jerk);
    cruise = 0;
  }
  const total = 2 * speedUpTime(up) + cruise;
  const sign = Math.sign(distanceUm);
  // Both ends are judged in the unit handed out, or rounding would put the end a hair before itself.
  const durationUs = total * 1e6;
  const halfway = total / 2;
  const firstHalf = (t: number): number => {
    const rising = speedUpTime(up);
    if (t <= rising) return distanceInSpeedUp(up, t);
    return distanceInSpeedUp(up, rising) + up.peakSpeed * (t - rising);
  };
  return {
    durationUs,
    peakSpeedUmPerS: up.peakSpeed,
    peakAccelMmPerS2: up.peakAccel / 1000,
    jerkRampUs: up.ramp * 1e6,
    positionAtUm(tUs) {
      const t = tUs / 1e6;
      if (!(t > 0)) return 0;
      if (tUs >= durationUs) return distanceUm;
      const covered =
        t <= halfway
          ? Math.min(firstHalf(t), distance / 2)
          : distance - Math.min(firstHalf(Math.max(total - t, 0)), distance / 2);
      return sign * covered;
    },
    speedAtUmPerS(tUs) {
      const t = tUs / 1e6;
      if (!(t > 0) || tUs >= durationUs) return 0;
      return sign * speedInSpeedUp(up, Math.max(Math.min(t, total - t), 0));
    },
  };
}

/** Braking from steady speed to rest with the same limits. */
export function planBrake(
  speedUmPerS: number,
  accelMmPerS2: number,
  jerkMmPerS3: number,
): { readonly durationUs: number; readonly distanceUm: number } {
  const speed = Math.abs(speedUmPerS);
  if (speed === 0) return { durationUs: 0, distanceUm: 0 };
  checkDynamics(speed, accelMmPerS2, jerkMmPerS3);
  const duration = speedUpTime(speedUp(speed, accelMmPerS2 * 1000, jerkMmPerS3 * 1000));
  return { durationUs: duration * 1e6, distanceUm: (speed * duration) / 2 };
}

function checkDynamics(speed: number, accel: number, jerk: number): void {
  const sane = speed > 0 && accel > 0 && jerk >= 0 && [speed, accel, jerk].every(Number.isFinite);
  if (!sane) {
    throw new RangeError(
      `A motion needs positive speed and acceleration: ${speed} um/s, ${accel} mm/s2, ${jerk} mm/s3.`,
    );
  }
}

function speedUp(speed: number, accel: number, jerk: number): SpeedUp {
  if (jerk === 0) return { peakSpeed: speed, peakAccel: accel, ramp: 0, steady: speed / accel };
  if (speed * jerk <= accel * accel) {
    // The full acceleration is never reached: it rises for half the time and falls for the other half.
    const ramp = Math.sqrt(speed / jerk);
    return { peakSpeed: speed, peakAccel: jerk * ramp, ramp, steady: 0 };
  }
  const ramp = accel / jerk;
  return { peakSpeed: speed, peakAccel: accel, ramp, steady: speed / accel - ramp };
}

const speedUpTime = (up: SpeedUp): number => 2 * up.ramp + up.steady;

/** Peak speed of a motion without cruise: solves speed x speedUpTime(speed) = distance. */
function peakSpeedForDistance(distance: number, accel: number, jerk: number): number {
  if (jerk === 0) return Math.sqrt(accel * distance);
  // Acceleration just reached when speed = a^2/j, that is at a distance of 2 a^3/j^2.
  if (distance >= (2 * accel ** 3) / jerk ** 2) {
    const corner = (accel * accel) / jerk;
    return (Math.sqrt(corner * corner + 4 * accel * distance) - corner) / 2;
  }
  return Math.cbrt((distance * distance * jerk) / 4);
}

function speedInSpeedUp(up: SpeedUp, t: number): number {
  const rising = speedUpTime(up);
  if (t >= rising) return up.peakSpeed;
  if (up.ramp === 0) return up.peakAccel * t;
  const jerk = up.peakAccel / up.ramp;
  if (t <= up.ramp) return (jerk * t * t) / 2;
  if (t <= up.ramp + up.steady) return up.peakAccel * (t - up.ramp / 2);
  return up.peakSpeed - (jerk * (rising - t) ** 2) / 2;
}

function distanceInSpeedUp(up: SpeedUp, t: number): number {
  const rising = speedUpTime(up);
  if (up.ramp === 0) return (up.peakAccel * t * t) / 2;
  const jerk = up.peakAccel / up.ramp;
  if (t <= up.ramp) return (jerk * t ** 3) / 6;
  if (t <= up.ramp + up.steady) {
    const since = t - up.ramp;
    return up.peakAccel * (up.ramp ** 2 / 6 + (up.ramp * since) / 2 + (since * since) / 2);
  }
  const left = rising - t;
  return (up.peakSpeed * rising) / 2 - up.peakSpeed * left + (jerk * left ** 3) / 6;
}
