/**
 * The point check: closed stop, total resistance, closed end, every law point moving up, open end, open stop, every
 * law point moving down, park. One way up and one way down; the carriage goes nowhere twice without need. A point that
 * stands out alone, as over a speck of dirt, is wiped and read once more before parking.
 */
import { travelMmOf } from '../trust/apply.ts';
import { InterlockOpenError, OperatorDeclinedError } from './errors.ts';
import type { Interlocks } from './rig-port.ts';
import { secondLook } from './second-look.ts';
import { createStepBuilder, exchangeUs, type PointCheckInput, trapezoidUs } from './step-builder.ts';
import type { Procedure, ProcedureReading, Step, StepGenerator, StepResult } from './steps.ts';
import { asReading } from './steps.ts';

export {
  type MotionProfile,
  type PointCheckInput,
  type PointCheckOptions,
  pointCheckDefaults,
  type VisitPlace,
} from './step-builder.ts';

/** Homing from the loading position, switch included; only the bar on the screen depends on it. */
const homeUs = 1_000_000;

/** The plan of a point check and the generator that walks it. */
export function pointCheck(input: PointCheckInput): Procedure {
  const plan = pointCheckPlan(input);
  return { name: 'pointCheck', plan, steps: () => walk(plan, input) };
}

function* walk(plan: readonly Step[], input: PointCheckInput): StepGenerator {
  const readings: ProcedureReading[] = [];
  const { options } = createStepBuilder(input, 0, null);
  for (const step of plan) {
    if (step.kind === 'park') yield* secondLook(input, readings);
    let result: StepResult = yield step;
    const reading = asReading(step, result, readings.length);
    if (reading !== null) readings.push(reading);
    for (let asked = 0; result.kind === 'status'; asked += 1) {
      const open = openInterlocks(result.status.interlocks);
      if (open === null) break;
      if (asked >= options.interlockAsks) {
        throw new InterlockOpenError(`${open} Nothing was moved; start again when it is done.`);
      }
      const answer: StepResult = yield {
        kind: 'ask',
        label: 'Waiting for the operator',
        question: open,
        expectedUs: 0,
      };
      if (answer.kind === 'answer' && !answer.goOn) {
        throw new OperatorDeclinedError(`The operator ended the run when asked: ${open}`);
      }
      result = yield { kind: 'status', label: 'Looking at the interlocks', expectedUs: exchangeUs };
    }
  }
}

/** What the operator must do before anything moves; null = nothing. */
export function openInterlocks(interlocks: Interlocks): string | null {
  const open: string[] = [];
  if (!interlocks.clampClosed) open.push('Close the clamp on the fader.');
  if (!interlocks.guardClosed) open.push('Close the guard.');
  if (!interlocks.emergencyStopReleased) open.push('Release the emergency stop when it is safe.');
  return open.length === 0 ? null : open.join(' ');
}

/** Every step of a point check in order. Pure. */
export function pointCheckPlan(input: PointCheckInput): readonly Step[] {
  const { law, calibration, limits } = input;
  const builder = createStepBuilder(input, 0, null);
  const { options } = builder;
  const steps: Step[] = [
    { kind: 'status', label: 'Looking at the interlocks', expectedUs: exchangeUs },
    { kind: 'power', label: 'Motor power on', on: true, expectedUs: exchangeUs },
    { kind: 'home', label: 'Homing', expectedUs: homeUs },
  ];
  for (let stroke = 1; stroke <= options.wipingStrokes; stroke += 1) {
    steps.push(
      builder.move(`Wiping stroke ${stroke} of ${options.wipingStrokes}, up`, law.travelMm, 'up'),
      builder.move(`Wiping stroke ${stroke} of ${options.wipingStrokes}, down`, 0, 'down'),
    );
  }
  // Home usually lies beyond the closed stop, with the knob pressed against it; if not, the stop is looked for.
  if (options.wipingStrokes === 0 && travelMmOf(0, 'still', calibration) > 0)
    steps.push(builder.move('To the closed stop', 0, 'down'));
  steps.push(
    builder.readHere('sense', 'Loss on the closed stop', 'closed', options.closedConversions, 0),
    builder.readHere('ohms', 'Total resistance', 'totalResistance', options.conversions, 0),
  );
  if (travelMmOf(builder.atUm, 'still', calibration) < -0.5) steps.push(builder.move('To the closed end', 0, 'up'));
  steps.push(builder.glide('Over the closed end', 'closedEnd', options.endMm));
  for (let index = 0; index < law.points.length; index += 1) steps.push(builder.visit(index, 'up'));
  const lastMm = law.points.at(-1)?.travelMm ?? 0;
  const farMm = law.travelMm - options.endMm;
  // Half of the stretch is enough to see the edge; only from a point still nearer the stop it is worth going back.
  if (lastMm < farMm || lastMm > law.travelMm - options.endMm / 2) {
    steps.push(builder.move('To the open end', farMm, 'up'));
  }
  steps.push(
    builder.glide('Over the open end', 'openEnd', law.travelMm),
    builder.readHere('sense', 'Loss on the open stop', 'open', options.conversions, law.travelMm),
  );
  for (let index = law.points.length - 1; index >= 0; index -= 1) steps.push(builder.visit(index, 'down'));
  const parkUs = trapezoidUs(Math.abs(builder.atUm), {
    speedUmPerS: limits.homeSpeedUmPerS,
    accelMmPerS2: limits.accelMaxMmPerS2,
  });
  return [...steps, { kind: 'park', label: 'Parking', expectedUs: parkUs + exchangeUs }];
}

/** Total of the expected durations, us. */
export function expectedUs(plan: readonly Step[]): number {
  return plan.reduce((sum, step) => sum + step.expectedUs, 0);
}
