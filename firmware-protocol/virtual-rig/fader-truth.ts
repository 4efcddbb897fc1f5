import type { FilmCut } from '../../src/fader/cuts.ts';
import type { Specimen } from '../../src/fader/specimen.ts';
import { trueElectricalEndsMm, trueLossDb, trueTotalOhm } from '../../src/fader/truth.ts';
import type { FaderTruth } from './side-door.ts';

/** The truth about a fader as plain numbers that can cross a process boundary. */
export function faderTruth(specimen: Specimen, cuts: readonly FilmCut[], travelsMm: readonly number[]): FaderTruth {
  const ends = trueElectricalEndsMm(specimen);
  return {
    index: specimen.index,
    serial: specimen.serial,
    faults: specimen.faults,
    cuts,
    totalOhm: trueTotalOhm(specimen),
    closedEndMm: ends.closedMm,
    openEndMm: ends.openMm,
    playMm: specimen.slide.playMm,
    points: travelsMm.map((travelMm) => ({
      travelMm,
      upDb: trueLossDb(specimen, travelMm, 'up'),
      downDb: trueLossDb(specimen, travelMm, 'down'),
      meanDb: trueLossDb(specimen, travelMm, 'mean'),
    })),
  };
}
