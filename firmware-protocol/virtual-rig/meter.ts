import type { Random } from '../../src/fader/random.ts';
import type { RigParameters } from './parameters-schema.ts';
import type { ChannelTraits, RigTraits } from './traits.ts';

export interface Conversion {
  readonly counts: number;
  readonly overRange: boolean;
}

const negativeLimit = -999_999;

/**
 * The converter: 24 bits, reference = excitation, so counts = voltage / excitation x full scale. Noise is white above
 * the stated integration time's rate and flat below it; hum is integrated exactly, so whole mains cycles cancel it.
 */
export class Meter {
  private readonly parameters: RigParameters['meter'];
  private readonly traits: RigTraits;
  private readonly random: Random;
  private readonly referenceC: number;
  /** Station faults, set from outside: added gain and offset. */
  extraGain = 0;
  extraOffsetUv = 0;

  constructor(parameters: RigParameters, traits: RigTraits, random: Random) {
    this.parameters = parameters.meter;
    this.referenceC = parameters.temperature.meanC;
    this.traits = traits;
    this.random = random;
  }

  /** One conversion of a voltage given as a fraction of the excitation. `startUs` is rig time. */
  convert(
    channel: 'wiper' | 'track',
    fraction: number,
    startUs: number,
    integrationUs: number,
    temperatureC: number,
  ): Conversion {
    const traits: ChannelTraits = channel === 'wiper' ? this.traits.wiper : this.traits.track;
    const { fullScaleCounts } = this.parameters;
    const perUv = fullScaleCounts / (this.traits.excitationV * 1e6);
    const gain =
      1 + traits.gainError + traits.gainDriftPerK * (temperatureC - this.referenceC) + this.gainFault(channel);
    // Cubic error of a differential converter, zero at zero and at full scale, largest value 1 before scaling.
    const bend = traits.nonLinearity * 2.598 * (fraction - fraction ** 3);
    const offsetUv = traits.offsetUv + (channel === 'wiper' ? this.extraOffsetUv : 0);
    const disturbanceUv = offsetUv + this.noiseUv(integrationUs) + this.humUv(startUs, integrationUs);
    const exact = (fraction * gain + bend) * fullScaleCounts + disturbanceUv * perUv;
    const counts = Math.round(exact);
    const top = fullScaleCounts - 1;
    if (counts > top) return { counts: top, overRange: true };
    if (counts < negativeLimit) return { counts: negativeLimit, overRange: true };
    return { counts: counts + 0, overRange: false };
  }

  private gainFault(channel: 'wiper' | 'track'): number {
    return channel === 'wiper' ? this.extraGain : 0;
  }

  private noiseUv(integrationUs: number): number {
    const { noiseUv, noiseAtUs } = this.parameters;
    return this.random.normal() * noiseUv * Math.sqrt(Math.max(1, noiseAtUs / integrationUs));
  }

  /** Mean of the hum over the integration: each harmonic is reduced by sin(pi f T) / (pi f T). */
  private humUv(startUs: number, integrationUs: number): number {
    const { humMv, humHarmonics } = this.parameters;
    if (humMv === 0) return 0;
    const middle = (startUs + integrationUs / 2) / 1e6;
    const span = integrationUs / 1e6;
    let sum = 0;
    for (let i = 0; i <= humHarmonics.length; i++) {
      const amplitude = i === 0 ? 1 : (humHarmonics[i - 1] ?? 0);
      if (amplitude === 0) continue;
      const hz = this.traits.mainsHz * (i + 1);
      const turns = Math.PI * hz * span;
      sum +=
        (amplitude * Math.sin(turns) * Math.sin(2 * Math.PI * hz * middle + (this.traits.humPhase[i] ?? 0))) / turns;
    }
    return sum * humMv * 1000;
  }
}
