import { ratioAtWiper, totalOhm } from './contact.ts';
import type { Specimen } from './specimen.ts';

/**
 * What an ideal instrument would find: settled clean contact, nothing loading the wiper, reference temperature, the
 * fader clamped rightly. Travel is the knob's, in mm from the closed stop. Dirt, lifting and stick-slip come and go
 * and are not part of the truth.
 */

/** `up` and `down` = direction in which the knob arrived; `mean` = mean of both in dB. */
export type TrueDirection = 'up' | 'down' | 'mean';

/** Wiper voltage over track voltage, 0..1. */
export function trueRatio(specimen: Specimen, travelMm: number, direction: TrueDirection): number {
  if (direction === 'mean')
    return Math.sqrt(trueRatio(specimen, travelMm, 'up') * trueRatio(specimen, travelMm, 'down'));
  const knobMm = Math.min(Math.max(travelMm, 0), specimen.slide.travelMm);
  // The knob pushes the wiper from the far side of its play.
  const lagMm = direction === 'up' ? -specimen.slide.playMm / 2 : specimen.slide.playMm / 2;
  return ratioAtWiper(specimen, knobMm + lagMm);
}

/** Loss in dB, >= 0; infinite where the ratio is zero. */
export function trueLossDb(specimen: Specimen, travelMm: number, direction: TrueDirection): number {
  return -20 * Math.log10(trueRatio(specimen, travelMm, direction));
}

/** Resistance between the end terminals, ohm. */
export function trueTotalOhm(specimen: Specimen): number {
  return totalOhm(specimen);
}

/** Knob travel, mean of both directions, at which the wiper stands on each conductor's edge, mm. */
export function trueElectricalEndsMm(specimen: Specimen): { readonly closedMm: number; readonly openMm: number } {
  let conductance = 0;
  let weighted = 0;
  for (const finger of specimen.wiper.fingers) {
    if (finger.ohm === null) continue;
    conductance += 1 / finger.ohm;
    weighted += finger.offsetMm / finger.ohm;
  }
  const centreMm = conductance === 0 ? 0 : weighted / conductance;
  return {
    closedMm: specimen.track.closedEdgeMm - centreMm,
    openMm: specimen.track.openEdgeMm - centreMm,
  };
}

/**
 * Resistances between taps as a perfect measurement gives them, ohm: differences of the mean ratio times the total. The
 * first cell holds the closed end with its contact and lead, the last the open end; one more cell than taps.
 */
export function trueCells(specimen: Specimen, tapsMm: readonly number[]): readonly number[] {
  const total = trueTotalOhm(specimen);
  const ratios = [0, ...tapsMm.map((mm) => trueRatio(specimen, mm, 'mean')), 1];
  return ratios.slice(1).map((ratio, i) => (ratio - (ratios[i] ?? 0)) * total);
}
