/** How long to wait after a motion until the carriage and knob have stopped shaking. */

export interface VibrationInput {
  readonly peakAccelMmPerS2: number;
  /** Time in which the acceleration falls to zero at the end of the motion; 0 = at once. */
  readonly jerkRampUs: number;
  readonly resonanceMilliHz: number;
}

/**
 * Amplitude (um) of the vibration that a stop leaves behind: A = a/w^2 |sinc(f Tj)|, sinc(u) = sin(pi u)/(pi u).
 * An undamped oscillator after an acceleration step answers with a/w^2 about its rest; a linear ramp of length Tj is the
 * running mean of such steps, which multiplies by the sinc. Shocks earlier in the motion are left out: they have had
 * the rest of the motion to die down.
 */
export function residualVibrationUm(input: VibrationInput): number {
  const frequency = input.resonanceMilliHz / 1000;
  if (!(frequency > 0)) throw new RangeError(`A resonance of ${frequency} Hz leaves no settling time to compute.`);
  const omega = 2 * Math.PI * frequency;
  const turns = frequency * (input.jerkRampUs / 1e6);
  const shape = turns === 0 ? 1 : Math.abs(Math.sin(Math.PI * turns) / (Math.PI * turns));
  return ((input.peakAccelMmPerS2 * 1000) / omega ** 2) * shape;
}

/**
 * Wait (us) until the envelope A exp(-zeta w t) of the vibration has fallen to `residualUm`:
 * max(0, ln(A/residual) / (zeta w)).
 */
export function settleDwellUs(
  input: VibrationInput & {
    readonly dampingPermille: number;
    readonly residualUm: number;
  },
): number {
  const zeta = input.dampingPermille / 1000;
  if (!(zeta > 0) || !(input.residualUm > 0)) {
    throw new RangeError('Settling needs a damping and a residual above zero; without them it never ends.');
  }
  const amplitudeUm = residualVibrationUm(input);
  if (amplitudeUm <= input.residualUm) return 0;
  const omega = (2 * Math.PI * input.resonanceMilliHz) / 1000;
  return (Math.log(amplitudeUm / input.residualUm) / (zeta * omega)) * 1e6;
}
