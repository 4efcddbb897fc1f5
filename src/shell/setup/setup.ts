/**
 * `npm run setup`: what this machine lacks for the window, its tests and a rig, installed where that is allowed.
 *
 * Every step is looked at before anything is done, no step keeps another from being tried, and where nothing is
 * missing nothing is done. Ends with code 0 also when something is left to do by hand (the headless part works
 * without a window); `--strict` makes it end with code 1 when the window or its tests cannot run.
 */
import { linuxSteps } from './linux-steps.ts';
import { electronRuntime } from './runtime.ts';
import { runSteps, type Step, type StepResult } from './step.ts';

async function windowRuntime(): Promise<StepResult> {
  let wasFetched = false;
  const ready = await electronRuntime({
    say: (line) => {
      wasFetched = true;
      process.stderr.write(`${line}\n`);
    },
  });
  const kind = ready.isFallback ? ', the fallback for development and tests' : '';
  const text = `Electron ${ready.electronVersion}${kind}`;
  return { step: 'window runtime', state: wasFetched ? 'done' : 'ready', text };
}

/** The steps that apply on `platform`. */
function stepsFor(platform: NodeJS.Platform): Readonly<Record<string, Step>> {
  if (platform === 'linux') return linuxSteps(windowRuntime);
  const serial: StepResult = {
    step: 'serial port',
    state: 'ready',
    text:
      platform === 'win32'
        ? 'Windows brings the driver for most USB serial adapters; the rig appears as a COM port'
        : 'macOS brings the driver for most USB serial adapters; the rig appears as /dev/cu.*',
  };
  return { 'window runtime': windowRuntime, 'serial port': async () => serial };
}

const marks = { ready: 'ready', done: 'done ', left: 'LEFT ' } as const;

if (import.meta.main) {
  const results = await runSteps(stepsFor(process.platform));
  const isQuiet = process.argv.includes('--quiet');
  for (const { step, state, text, line } of results) {
    if (isQuiet && state === 'ready') continue;
    process.stdout.write(`${marks[state]}  ${step}: ${text}\n`);
    if (line !== undefined) process.stdout.write(`       run: ${line}\n`);
  }
  if (
    process.argv.includes('--strict') &&
    results.some(({ state, isOptional }) => state === 'left' && isOptional !== true)
  )
    process.exitCode = 1;
}
