import { loneDeviations } from '../verdict/lone-deviations.ts';
import { createStepBuilder, type PointCheckInput } from './step-builder.ts';
import type { ProcedureReading, StepGenerator } from './steps.ts';

/** How far to either side of the point the wiper is led, mm, and how often it crosses. */
const wipeMm = 2;
const crossings = 6;

/**
 * Points that stand out alone are wiped (the wiper led to and fro over the place, as a hand would) and read again from
 * both sides. The later reading counts; the earlier one stays in the run.
 */
export function* secondLook(input: PointCheckInput, readings: readonly ProcedureReading[]): StepGenerator {
  const { law, calibration, limits } = input;
  const lone = loneDeviations({ law, calibration, limits, readings });
  const builder = createStepBuilder(input, readings.findLast((r) => r.purpose === 'point')?.positionUm ?? 0, 'down');
  // The largest first come into the count, but the carriage takes them in order of travel.
  const chosen = lone.slice(0, builder.options.secondLooks).sort((a, b) => a - b);
  for (const pointIndex of chosen) {
    const travelMm = law.points[pointIndex]?.travelMm ?? 0;
    const name = `Point ${pointIndex + 1} again`;
    yield { kind: 'note', label: name, text: `${name}: it stood out alone; wiped and read once more.`, expectedUs: 0 };
    yield builder.move(name, Math.max(0, travelMm - wipeMm), builder.atUm > 0 ? 'down' : 'up');
    for (let crossing = 1; crossing <= crossings; crossing += 1) {
      const isUp = crossing % 2 === 1;
      const toMm = isUp ? Math.min(law.travelMm, travelMm + wipeMm) : Math.max(0, travelMm - wipeMm);
      yield builder.move(name, toMm, isUp ? 'up' : 'down');
    }
    yield { ...builder.visit(pointIndex, 'up'), label: name };
    yield builder.move(name, Math.min(law.travelMm, travelMm + wipeMm), 'up');
    yield { ...builder.visit(pointIndex, 'down'), label: name };
  }
}
