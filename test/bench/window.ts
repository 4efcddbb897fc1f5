/**
 * The window under load, with the real core and a virtual rig: frames during a run at a real rig's speed, memory of all
 * processes after 500 runs, 500 curves laid over, and a look along a trace of 50,000 samples.
 */
import { loadavg } from 'node:os';
import type { Page } from 'playwright-core';
import { curvesTiming } from '../../renderer/charts/curves-plugin.ts';
import { openArchive } from '../../src/archive/open.ts';
import type { RunRecord, TraceRecord } from '../../src/archive/records.ts';
import { buildStale } from '../../src/shell/build/build.ts';
import { openingOf } from '../archive/example-runs.ts';
import { type LaunchedApp, launchApp } from '../desktop/app.ts';
import { startDisplay } from '../desktop/display.ts';
import { type Tour, tourOf } from '../desktop/screens/bench.ts';
import { framesDuring, quantile, timingsDuring } from './frames.ts';
import { atMost, type BenchLine, median, told } from './line.ts';
import { memoryOfTree } from './process-memory.ts';

const runs = 500;
const samples = 50_000;
const batch = { size: runs, lawId: 'PF-104', finish: 'delivered', faultShare: 0.1 } as const;
const panTiming = 'faderwright.trace-pan';

export async function benchWindow(seed: number): Promise<BenchLine[]> {
  await buildStale(['preload', 'shell', 'renderer']);
  const needsDisplay = process.platform === 'linux' && !process.env.DISPLAY && !process.env.WAYLAND_DISPLAY;
  const display = needsDisplay ? await startDisplay() : null;
  if (display !== null) process.env.DISPLAY = display.name;
  const launched = await launchApp();
  try {
    const tour = tourOf(launched);
    await tour.call('settings.write', { operators: ['KD'], firstStartDone: true });
    await launched.page.reload();
    await launched.page.locator('.bench').waitFor();
    const drawing = await launched.app.evaluate(({ app }) => app.getGPUFeatureStatus().gpu_compositing);
    console.log(`      window drawn with: ${drawing}; load of this machine ${loadavg()[0]?.toFixed(1)}`);
    return [
      ...(await liveFrames(tour, seed)),
      ...(await memoryAfterRuns(tour, launched, seed)),
      ...(await overlaidCurves(tour)),
      ...(await tracePan(tour, launched)),
    ];
  } finally {
    await launched.close();
    await display?.stop();
  }
}

/** A whole run at a real rig's speed, watched on the Bench. */
async function liveFrames(tour: Tour, seed: number): Promise<BenchLine[]> {
  const { serials } = await tour.call('virtual.start', { ...batch, seed, timeFactor: 1 });
  const frames = await framesDuring(tour.page, () => tour.measure(serials[0] ?? ''));
  return [
    told('window: frame during a run, median', median(frames), 'ms'),
    atMost('window: frame during a run, p99', quantile(frames, 0.99), 'ms', 50),
    told('window: frame during a run, longest', Math.max(...frames), 'ms'),
  ];
}

async function memoryAfterRuns(tour: Tour, { app }: LaunchedApp, seed: number): Promise<BenchLine[]> {
  const { serials } = await tour.call('virtual.start', { ...batch, seed, timeFactor: 1_000 });
  const pid = app.process().pid ?? 0;
  const all = (): number => memoryOfTree(pid).reduce((sum, { mb }) => sum + mb, 0);
  const before = all();
  for (const serial of serials) await tour.measure(serial);
  const after = memoryOfTree(pid);
  for (const { command, mb } of after.toSorted((a, b) => b.mb - a.mb))
    console.log(`      ${mb.toFixed(0).padStart(5)} MB  ${command.slice(0, 110)}`);
  return [
    told('window: memory of all processes before', before, 'MB'),
    atMost(
      `window: memory of all processes after ${runs} runs (PSS)`,
      after.reduce((sum, { mb }) => sum + mb, 0),
      'MB',
      600,
    ),
  ];
}

async function overlaidCurves({ page, open }: Tour): Promise<BenchLine[]> {
  await open('Faders');
  await page.locator('.found-row').first().click();
  const begun = performance.now();
  await page
    .getByRole('button', { name: /^Lay .* over$/ })
    .last()
    .click();
  await page
    .locator('.laid-note')
    .filter({ hasText: /^\d+ laid over; point/ })
    .waitFor({ timeout: 120_000 });
  const readMs = performance.now() - begun;
  const shown = Number.parseInt((await page.locator('.laid-note').textContent()) ?? '', 10);
  let frames: number[] = [];
  const draws = await timingsDuring(page, curvesTiming, async () => {
    frames = await framesDuring(page, () => sweepOver(page, '.deviation-chart'));
  });
  return [
    told('window: curves laid over', shown, ''),
    told('window: reading 500 runs to lay them over', readMs, 'ms'),
    atMost(`window: drawing of ${shown} curves, median of ${draws.length}`, median(draws), 'ms', 100),
    atMost(`window: frame while pointing along ${shown} curves, p99`, quantile(frames, 0.99), 'ms', 100),
  ];
}

async function tracePan(tour: Tour, { archivePath }: LaunchedApp): Promise<BenchLine[]> {
  const { page, open, call } = tour;
  const { runs: found } = await call('runs.find', { verdict: 'pass', limit: 1 });
  const serial = keepLongTrace(archivePath, found[0]?.runId ?? '');
  await open('Bench');
  await open('Faders');
  await page.getByLabel('Serial').fill(serial);
  await page.locator('.found-count').filter({ hasText: '1 run found' }).waitFor();
  await page.locator('.found-row').first().click();
  await page.getByRole('tab', { name: 'Ends' }).click();
  await page.getByText(`${samples} samples`).waitFor();
  await page.getByRole('button', { name: 'Closer' }).click();
  let frames: number[] = [];
  const draws = await timingsDuring(page, panTiming, async () => {
    frames = await framesDuring(page, async () => {
      await page.mouse.move(1_000, 500);
      await page.mouse.down();
      await page.mouse.move(500, 500, { steps: 120 });
      await page.mouse.move(1_100, 500, { steps: 120 });
      await page.mouse.up();
    });
  });
  return [
    told(`window: drawing ${samples} samples while panning, median of ${draws.length}`, median(draws), 'ms'),
    told(`window: frame while panning ${samples} samples, median`, median(frames), 'ms'),
    atMost(`window: frame while panning ${samples} samples, p99`, quantile(frames, 0.99), 'ms', 50),
  ];
}

/** A measured run once more, with one of its glides made long: noise and all, as a slow sweep would give it. */
function keepLongTrace(archivePath: string, runId: string): string {
  const archive = openArchive(archivePath, { programVersion: 'bench', now: () => new Date() });
  try {
    const run = archive.run(runId);
    if (run === null) throw new Error('No run passed; there is nothing to make a long trace of.');
    const serial = 'PF104-26-48-90000';
    const long: RunRecord = { ...run, runId: `${runId.slice(0, -4)}5000`, serial, traces: [longTrace(run)] };
    archive.beginRun(openingOf(long));
    archive.recordRun(long);
    return serial;
  } finally {
    archive.close();
  }
}

function longTrace({ traces, readings }: RunRecord): TraceRecord {
  const trackCounts = traces[0]?.trackCounts ?? readings[0]?.trackCounts ?? 8_000_000;
  const noise = (i: number): number => 900 * Math.sin(i * 12.9898) * Math.sin(i * 0.731);
  return {
    purpose: 'closedEnd',
    samplePeriodUs: 1_000,
    trackCounts,
    counter: Uint32Array.from({ length: samples }, (_, i) => i),
    positionUm: Int32Array.from({ length: samples }, (_, i) => i * 2),
    rigClockUs: Float64Array.from({ length: samples }, (_, i) => i * 1_000),
    wiperCounts: Int32Array.from({ length: samples }, (_, i) => (trackCounts * i) / samples + noise(i)),
  };
}

/** Moves the pointer across an element: every move draws anew. */
async function sweepOver(page: Page, selector: string): Promise<void> {
  const box = await page.locator(selector).boundingBox();
  if (box === null) throw new Error(`${selector} is not on the screen.`);
  const y = box.y + box.height * 0.45;
  await page.mouse.move(box.x + box.width * 0.1, y);
  await page.mouse.move(box.x + box.width * 0.9, y + box.height * 0.1, { steps: 120 });
}
