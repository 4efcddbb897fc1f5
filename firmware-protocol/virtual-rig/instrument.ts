import { ratioAtWiper, totalOhm } from '../../src/fader/contact.ts';
import type { Random } from '../../src/fader/random.ts';
import type { Specimen } from '../../src/fader/specimen.ts';
import type { Carriage } from './carriage.ts';
import type { Fixture } from './fixture.ts';
import type { Meter } from './meter.ts';
import type { RigParameters } from './parameters-schema.ts';
import type { RigTraits } from './traits.ts';

/** `source` = normal feed through the source resistance, `reference` = through the series reference resistor. */
export type Feed = 'source' | 'reference';

export interface Conversions {
  readonly wiper: number[];
  readonly track: number[];
  readonly overRange: boolean;
}

/** Two exact resistors: ratio = lower / total. */
export interface ReferenceDivider {
  readonly totalOhm: number;
  readonly ratio: number;
}

/** Everything between the fader's terminals and the converter's counts. */
export class Instrument {
  private readonly parameters: RigParameters;
  private readonly traits: RigTraits;
  private readonly fixture: Fixture;
  private readonly carriage: Carriage;
  private readonly meter: Meter;
  /** The fader as it is at a moment: its film may be cut while it is read. */
  private specimenAt: ((atUs: number) => Specimen) | null = null;
  private dayFactor = 1;
  private connected = false;
  private divider: ReferenceDivider | null = null;

  constructor(parameters: RigParameters, traits: RigTraits, fixture: Fixture, carriage: Carriage, meter: Meter) {
    this.parameters = parameters;
    this.traits = traits;
    this.fixture = fixture;
    this.carriage = carriage;
    this.meter = meter;
  }

  /** `specimenAt` gives the fader at a moment of rig time; without it the fader stays as it is. */
  load(
    specimen: Specimen | null,
    random: Random,
    specimenAt: ((atUs: number) => Specimen) | null = specimen && (() => specimen),
  ): void {
    this.specimenAt = specimen && specimenAt;
    this.dayFactor = specimen ? Math.max(0.5, 1 + random.normal(0, specimen.wiper.dayToDaySd)) : 1;
    this.fixture.load(specimen);
  }

  /** The clamp carries the contact pins: open means nothing is connected. */
  setConnected(connected: boolean): void {
    this.connected = connected;
  }

  /** Plugs a reference divider in place of the fader's contacts; null = the fader again. */
  fitDivider(divider: ReferenceDivider | null): void {
    this.divider = divider;
  }

  temperatureC(atUs: number): number {
    const { meanC, halfRangeK } = this.parameters.temperature;
    const drifted = this.traits.startC + (this.traits.driftKPerH * atUs) / 3.6e9;
    return Math.min(Math.max(drifted, meanC - halfRangeK), meanC + halfRangeK);
  }

  /** `count` conversions of both channels from `startUs` on, without pauses, standing. */
  read(startUs: number, integrationUs: number, count: number, feed: Feed): Conversions {
    const wiper: number[] = [];
    const track: number[] = [];
    let overRange = false;
    let still: { wiper: number; track: number } | null = null;
    let stillOf: Specimen | null = null;
    for (let i = 0; i < count; i++) {
      const fromUs = startUs + i * integrationUs;
      const ringUm = this.carriage.ringUm(fromUs + integrationUs / 2);
      const specimen = this.specimenAt?.(fromUs + integrationUs / 2) ?? null;
      if (ringUm !== 0 || !still || specimen !== stillOf) still = this.fractions(specimen, fromUs, ringUm, feed, 0);
      stillOf = specimen;
      const temperature = this.temperatureC(fromUs);
      const w = this.meter.convert('wiper', still.wiper, fromUs, integrationUs, temperature);
      const t = this.meter.convert('track', still.track, fromUs, integrationUs, temperature);
      wiper.push(w.counts);
      track.push(t.counts);
      overRange ||= w.overRange || t.overRange;
    }
    return { wiper, track, overRange };
  }

  /** One conversion of both channels around `middleUs`, possibly moving. The fixture must have been led there. */
  sample(middleUs: number, integrationUs: number): { readonly wiper: number; readonly track: number } {
    const speedMmPerS = this.carriage.speedUmPerS(middleUs) / 1000;
    const specimen = this.specimenAt?.(middleUs) ?? null;
    const at = this.fractions(specimen, middleUs, this.carriage.ringUm(middleUs), 'source', speedMmPerS);
    const fromUs = middleUs - integrationUs / 2;
    const temperature = this.temperatureC(middleUs);
    return {
      wiper: this.meter.convert('wiper', at.wiper, fromUs, integrationUs, temperature).counts,
      track: this.meter.convert('track', at.track, fromUs, integrationUs, temperature).counts,
    };
  }

  /** Wiper and track voltage as fractions of the excitation. */
  private fractions(
    specimen: Specimen | null,
    atUs: number,
    ringUm: number,
    feed: Feed,
    speedMmPerS: number,
  ): { wiper: number; track: number } {
    const { meter, temperature } = this.parameters;
    if (this.divider) {
      const { totalOhm: ohm, ratio } = this.divider;
      const track = ohm / (ohm + (feed === 'source' ? meter.sourceOhm : this.traits.seriesReferenceOhm));
      return { wiper: (track * ratio * meter.inputOhm) / (meter.inputOhm + ohm * ratio * (1 - ratio)), track };
    }
    if (!specimen || !this.connected) return { wiper: 0, track: 0 };
    const deltaK = this.temperatureC(atUs) - temperature.meanC;
    const total = totalOhm(specimen, deltaK);
    const feedOhm = feed === 'source' ? meter.sourceOhm : this.traits.seriesReferenceOhm;
    const track = total / (total + feedOhm);
    if (this.fixture.isOpen(speedMmPerS)) return { wiper: 0, track };
    const ratio = ratioAtWiper(specimen, this.fixture.wiperMm + ringUm / 1000, {
      deltaK,
      strokes: this.fixture.strokes,
      pass: this.carriage.passes,
      dayFactor: this.dayFactor,
      dirtAtMm: this.fixture.dirtAtMm,
      loadOhm: meter.inputOhm,
    });
    return { wiper: ratio * track, track };
  }
}
