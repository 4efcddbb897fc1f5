import type { Calibration } from '../../src/trust/calibration.ts';

/** A calibration with every correction in it, so that a forgotten one shows. */
export const exampleCalibration: Calibration = {
  id: 'cal-VR0001-2026-11-02T08:00:00Z',
  rigSerial: 'VR0001',
  madeAt: '2026-11-02T08:00:00Z',
  dueAt: '2027-05-02T08:00:00Z',
  source: 'gauges',
  madeBy: 'KL',
  position: {
    scale: 1.00002,
    zeroMm: -2.4,
    backlashMm: 0.04,
    uZeroMm: 0.005,
    uBacklashMm: 0.004,
    uScale: 3e-6,
    screwAmplitudeMm: 0.01,
    uHomeMm: 0.01,
  },
  meter: {
    offsetCounts: 30,
    trackOffsetCounts: -12,
    gain: 1.0003,
    uOffsetCounts: 1.7,
    uGain: 20e-6,
    nonLinearity: 5e-6,
    seriesReferenceOhm: 10_001,
    uSeriesReference: 1e-4,
  },
};

export const exampleLimits = { fullScaleCounts: 8_388_608, meterInputKiloohm: 1_000_000, resonanceMilliHz: 25_000 };
