/** A whole bench on virtual time: raw tracks are brought in; nothing is cut twice; the needle stops. */
import { afterEach, describe, expect, test } from 'vitest';
import type { NeedleReadingView, TrimPieceView } from '../../src/station/trim-views.ts';
import { type InProcessBench, openBench } from './bench-in-process.ts';

let bench: InProcessBench | null = null;
afterEach(async () => {
  await bench?.close();
  bench = null;
});

const seed = 11;
const tool = { id: 'M1', kind: 'mill' } as const;

interface TrimBench extends InProcessBench {
  readonly needles: NeedleReadingView[];
}

async function trimBench(): Promise<TrimBench> {
  const needles: NeedleReadingView[] = [];
  const opened = await openBench(
    { seed, size: 8, finish: 'raw', faultShare: 0 },
    {},
    { piece() {}, needle: (reading) => needles.push(reading) },
  );
  bench = opened;
  return Object.assign(opened, { needles });
}

async function measure(
  { station, rig, clock }: InProcessBench,
  index: number,
  kind: 'mill' | 'hand' = 'mill',
): Promise<TrimPieceView> {
  const { serial } = rig.sideDoor.load(index);
  const { runId } = station.trim.start({
    ...{ serial, operator: 'KD', lawId: 'PF-104', lawRevision: null, batch: 'B1' },
    tool: { ...tool, kind },
  });
  return clock.runUntil(station.trim.wait(runId));
}

/** The first piece of the batch that is not right as it is. */
async function firstPlanned(open: InProcessBench, kind: 'mill' | 'hand' = 'mill'): Promise<[number, TrimPieceView]> {
  for (let index = 0; index < 8; index += 1) {
    const piece = await measure(open, index, kind);
    if (piece.state === 'planned') return [index, piece];
  }
  throw new Error(`No piece of seed ${seed} can be trimmed.`);
}

const ask = ({ station, clock }: InProcessBench, serial: string): Promise<TrimPieceView> =>
  clock.runUntil(station.trim.askCuts(serial, 'KD'));

describe(`a batch of raw tracks (seed ${seed})`, () => {
  test('is sorted, cut and brought in, and the tool is learnt on the way', { timeout: 120_000 }, async () => {
    const open = await trimBench();
    const ends: string[] = [];
    for (let index = 0; index < 8; index += 1) {
      let piece = await measure(open, index);
      while (piece.state === 'planned') {
        const asked = await ask(open, piece.serial);
        expect(asked).toMatchObject({ state: 'cutsAsked', mustRemeasure: true, pass: piece.pass + 1 });
        open.rig.sideDoor.applyCuts(index, asked.plan?.cuts ?? [], tool.id);
        const done = open.station.trim.cutsDone(piece.serial, 'KD', 'all');
        expect(done).toMatchObject({ state: 'cutsDone', mustRemeasure: true });
        piece = await measure(open, index);
        expect(piece.passes.at(-1)?.gain?.achieved).toBeGreaterThan(0.3);
      }
      ends.push(piece.state);
      if (piece.state === 'accepted') {
        const last = open.station.archive.run(piece.runs.at(-1) ?? '');
        expect(last).toMatchObject({ verdict: 'pass', job: 'trim' });
      }
    }
    expect(ends.filter((state) => state === 'accepted').length).toBeGreaterThanOrEqual(6);
    const batch = open.station.trim.batch('B1');
    expect(batch.pieces).toHaveLength(8);
    expect(batch.done).toBe(8);
    expect(batch.ends.accepted).toBe(ends.filter((state) => state === 'accepted').length);
    expect(batch.gains.length).toBeGreaterThanOrEqual(4);
    // What is believed grows surer with every pass.
    expect(batch.gains.at(-1)?.sd).toBeLessThan(batch.gains[0]?.sd ?? 0);
    const rigSerial = open.rig.sideDoor.certificate('2026-11-25T08:00:00Z', '2027-11-25T08:00:00Z').rigSerial;
    const history = open.station.archive.toolBeliefs(rigSerial, tool.id, 'PF-104');
    expect(history[0]?.mean).toBe(batch.gains.at(-1)?.mean);
    expect(history).toHaveLength(batch.gains.length);
  });
});

describe('cuts', () => {
  test('are asked for once, and then the piece can only be measured', { timeout: 60_000 }, async () => {
    const open = await trimBench();
    const [index, { serial, plan }] = await firstPlanned(open);
    const { trim } = open.station;
    await ask(open, serial);
    await expect(ask(open, serial)).rejects.toMatchObject({ code: 'trim.order' });
    open.rig.sideDoor.applyCuts(index, plan?.cuts ?? [], tool.id);
    trim.cutsDone(serial, 'KD', 'all');
    await expect(ask(open, serial)).rejects.toMatchObject({ code: 'trim.order' });
    expect(() => trim.cutsDone(serial, 'KD', 'all')).toThrow(/No cut of/);
    // A job that knows nothing of the cuts would call the piece a reject.
    expect(() => trim.refuseOtherJob(serial)).toThrow(/Choose the job Trim/);
    const after = await measure(open, index);
    expect(after.passes[0]?.cutsDone).toEqual(plan?.cuts.map(({ number }) => number));
    expect(() => trim.refuseOtherJob(serial)).not.toThrow();
    // New cuts have numbers of their own.
    const known = new Set(after.passes[0]?.cutsDone);
    for (const cut of after.plan?.cuts ?? []) expect(known.has(cut.number)).toBe(false);
  });

  test('may be acknowledged one by one, and no other', { timeout: 60_000 }, async () => {
    const open = await trimBench();
    const [, { serial, plan }] = await firstPlanned(open);
    const { trim } = open.station;
    await ask(open, serial);
    const numbers = plan?.cuts.map(({ number }) => number) ?? [];
    expect(() => trim.cutsDone(serial, 'KD', [999])).toThrow(/name only these/);
    for (const number of numbers) {
      const piece = trim.cutsDone(serial, 'KD', [number]);
      expect(piece.state).toBe(number === numbers.at(-1) ? 'cutsDone' : 'cutsAsked');
    }
    expect(trim.piece(serial)?.passes[0]?.cutsDone).toEqual(numbers);
  });

  test('are recognised by measuring when nobody has said that they were made', { timeout: 60_000 }, async () => {
    const open = await trimBench();
    const [index, { serial }] = await firstPlanned(open);
    const asked = await ask(open, serial);
    const cuts = asked.plan?.cuts ?? [];
    // The largest cut only: it must stand out of the uncertainty to be seen.
    const size = (cut: (typeof cuts)[number]): number =>
      cut.depthMm * (cut.kind === 'shave' ? cut.toMm - cut.fromMm : 1);
    const made = [...cuts].sort((a, b) => size(b) - size(a)).slice(0, 1);
    open.rig.sideDoor.applyCuts(index, made, tool.id);
    const after = await measure(open, index);
    expect(after.passes[0]?.cutsDone).toEqual(made.map(({ number }) => number));
    // Nothing was acknowledged, so nothing is learnt of the tool.
    expect(after.passes[0]?.gain).toBeNull();
  });

  test('stay not measured when the measurement is stopped', { timeout: 60_000 }, async () => {
    const open = await trimBench();
    const [index, { serial, plan }] = await firstPlanned(open);
    await ask(open, serial);
    open.rig.sideDoor.applyCuts(index, plan?.cuts ?? [], tool.id);
    open.station.trim.cutsDone(serial, 'KD', 'all');
    const { runId } = open.station.trim.start({
      ...{ serial, operator: 'KD', lawId: 'PF-104', lawRevision: null, batch: 'B1', tool },
    });
    open.station.stop('The operator stopped the run.');
    const piece = await open.clock.runUntil(open.station.trim.wait(runId));
    expect(piece).toMatchObject({ state: 'cutsDone', mustRemeasure: true });
    expect(piece.sentence).toContain('says nothing');
  });

  test('leave the motor without power, and nothing moves while they are made', { timeout: 60_000 }, async () => {
    const open = await trimBench();
    const [, { serial }] = await firstPlanned(open);
    await ask(open, serial);
    expect(open.rig.sideDoor.moment().powered).toBe(false);
    expect(() => open.station.trim.hands.refuseMotion()).toThrow(/nothing may move/);
    const other = { operator: 'KD', lawId: 'PF-104', lawRevision: null, batch: null, job: 'measure' } as const;
    expect(() => open.station.start({ ...other, serial: 'PF104-26-47-00099' })).toThrow(/nothing may move/);
    open.station.trim.cutsDone(serial, 'KD', 'all');
    expect(() => open.station.trim.hands.refuseMotion()).not.toThrow();
  });

  test('hold the carriage from the moment they are asked for, not only when motor power is off', {
    timeout: 60_000,
  }, async () => {
    const open = await trimBench();
    const [, { serial }] = await firstPlanned(open);
    const { trim } = open.station;
    const asking = trim.askCuts(serial, 'KD');
    expect(() => trim.hands.refuseMotion()).toThrow(/nothing may move/);
    await open.clock.runUntil(asking);
  });

  test('end by the pass limit, also when the same piece is begun again', { timeout: 120_000 }, async () => {
    const open = await trimBench();
    open.station.trim.writeSettings({ passLimit: 1 });
    const [index, first] = await firstPlanned(open);
    await ask(open, first.serial);
    // A tool that did nothing: the piece is not brought in.
    open.station.trim.cutsDone(first.serial, 'KD', 'all');
    const ended = await measure(open, index);
    expect(ended).toMatchObject({ state: 'ended', pass: 1, sort: 'trimmable' });
    expect(await measure(open, index)).toMatchObject({ state: 'ended', pass: 1 });
  });
});

describe('what was learnt of a tool', () => {
  test('is forgotten for a renewed tool and doubted on another sheet', { timeout: 120_000 }, async () => {
    const open = await trimBench();
    const [index, first] = await firstPlanned(open);
    await ask(open, first.serial);
    open.rig.sideDoor.applyCuts(index, first.plan?.cuts ?? [], tool.id);
    open.station.trim.cutsDone(first.serial, 'KD', 'all');
    const learnt = (await measure(open, index)).belief;
    expect(learnt.sd).toBeLessThan(0.15);
    const { serial } = open.rig.sideDoor.load(index);
    const start = { serial, operator: 'KD', lawId: 'PF-104', lawRevision: null, tool };
    const { runId } = open.station.trim.start({ ...start, batch: 'another sheet' });
    const elsewhere = await open.clock.runUntil(open.station.trim.wait(runId));
    expect(elsewhere.belief.mean).toBe(learnt.mean);
    expect(elsewhere.belief.sd).toBeGreaterThan(learnt.sd);
    open.station.trim.renewTool({ toolId: tool.id, toolKind: 'mill', operator: 'KD', reason: 'new cutter' });
    expect(open.station.trim.piece(first.serial)?.belief).toMatchObject({ mean: 1, sd: 0.15, cuts: 0 });
  });
});

describe('the live needle', () => {
  test('stops a hand before the target and ends when the guard is closed', { timeout: 120_000 }, async () => {
    const open = await trimBench();
    open.station.trim.writeSettings({ riskLimit: 0.5 });
    const [index, { serial, plan }] = await firstPlanned(open, 'hand');
    await ask(open, serial);
    const cut = plan?.cuts.find((one) => one.kind === 'shave' && one.depthMm > 0.08);
    if (cut?.kind !== 'shave') throw new Error(`Seed ${seed} has no shave to watch.`);
    const { needles, rig, clock, station } = open;
    await clock.runUntil(station.needle.start(serial, 'KD', cut.cellIndex));
    expect(() =>
      station.start({ ...{ serial, operator: 'KD', lawId: 'PF-104', lawRevision: null, batch: null, job: 'measure' } }),
    ).toThrow(/live needle of .* is open/);
    await clock.runUntil(until(open, (reading) => reading.state === 'waiting'));
    expect(rig.sideDoor.moment().powered).toBe(false);
    rig.sideDoor.setGuard(false);
    await clock.runUntil(until(open, (reading) => reading.state === 'live'));
    rig.sideDoor.startCutting(index, { ...cut, depthMm: 1.5 }, 'H1', 0.02);
    await clock.runUntil(until(open, (reading) => reading.state === 'stop'));
    const stopped = needles.at(-1);
    expect(stopped).toMatchObject({ stop: true, over: false });
    expect(stopped?.rateOhmPerS).toBeGreaterThan(0);
    expect(stopped?.nowOhm).toBeLessThan(stopped?.targetOhm ?? 0);
    // A warned hand lets go 0.3 s later and lands on the target.
    await clock.runUntil(new Promise<void>((resolve) => clock.after(300, resolve)));
    rig.sideDoor.stopCutting();
    await clock.runUntil(until(open, () => true, 3));
    const { nowOhm, startOhm, targetOhm } = needles.at(-1) ?? { nowOhm: 0, startOhm: 0, targetOhm: 0 };
    expect(Math.abs((nowOhm ?? 0) - targetOhm)).toBeLessThan(0.2 * (targetOhm - startOhm));
    // The line was crossed once, so the word stays.
    expect(needles.at(-1)?.stop).toBe(true);
    rig.sideDoor.setGuard(true);
    await clock.runUntil(until(open, (reading) => reading.state === 'ended'));
    expect(needles.at(-1)?.reason).toBe('The guard was closed. The cell was cut under it, so its cuts count as made.');
    expect(station.needle.current).toBeNull();
    // What was cut is not offered again, however the needle ended.
    const ofCell = plan?.cuts.filter(({ cellIndex }) => cellIndex === cut.cellIndex).map(({ number }) => number);
    expect(station.trim.piece(serial)?.passes.at(-1)?.cutsDone).toEqual(ofCell);
  });

  test('is not opened while the guard is open, and nothing moves then', { timeout: 60_000 }, async () => {
    const open = await trimBench();
    const [, { serial, plan }] = await firstPlanned(open);
    await ask(open, serial);
    open.rig.sideDoor.setGuard(false);
    const before = open.rig.sideDoor.moment().positionUm;
    const opening = open.station.needle.start(serial, 'KD', plan?.cuts[0]?.cellIndex ?? 0);
    await expect(open.clock.runUntil(opening)).rejects.toMatchObject({ code: 'trim.needle' });
    expect(open.rig.sideDoor.moment()).toMatchObject({ positionUm: before, powered: false });
    expect(open.station.needle.current).toBeNull();
  });

  test('is closed at once when it is called off before it has opened', { timeout: 60_000 }, async () => {
    const open = await trimBench();
    const [, { serial, plan }] = await firstPlanned(open);
    await ask(open, serial);
    const { station, clock, rig } = open;
    const opening = station.needle.start(serial, 'KD', plan?.cuts[0]?.cellIndex ?? 0);
    await station.needle.stop('Escape.');
    const ended = until(open, (reading) => reading.state === 'ended');
    await clock.runUntil(opening);
    await clock.runUntil(ended);
    expect(open.needles.at(-1)?.reason).toBe('Escape.');
    expect(open.needles.every(({ state }) => state !== 'live')).toBe(true);
    expect(rig.sideDoor.moment()).toMatchObject({ powered: false, moving: false });
  });

  test.each([
    ['the guard of a powered tool is opened', 'The guard was opened.'],
    ['the emergency stop is pressed', 'The emergency stop was pressed.'],
    ['the clamp is opened', 'The clamp was opened.'],
    ['the operator closes it', 'Escape.'],
    ['the line is lost', 'The line to the rig was lost.'],
  ])('ends with motor power off when %s', { timeout: 60_000 }, async (_what, reason) => {
    const open = await trimBench();
    const [, { serial, plan }] = await firstPlanned(open);
    await ask(open, serial);
    const { rig, clock, station } = open;
    await clock.runUntil(station.needle.start(serial, 'KD', plan?.cuts[0]?.cellIndex ?? 0));
    await clock.runUntil(until(open, (reading) => reading.state === 'live' || reading.state === 'stop'));
    const ended = until(open, (reading) => reading.state === 'ended');
    if (reason.includes('guard')) rig.sideDoor.setGuard(false);
    else if (reason.includes('emergency')) rig.sideDoor.setEmergencyStop(false);
    else if (reason.includes('clamp')) rig.sideDoor.setClamp(false);
    else if (reason.includes('line')) rig.sideDoor.unplug();
    else void station.needle.stop(reason);
    await clock.runUntil(ended);
    expect(open.needles.at(-1)?.reason).toBe(reason);
    expect(rig.sideDoor.moment()).toMatchObject({ powered: false, moving: false });
  });
});

/** Resolves at the next reading (of `count`) that is as wanted. */
function until(
  { needles, clock }: TrimBench,
  wanted: (reading: NeedleReadingView) => boolean,
  count = 1,
): Promise<void> {
  const from = needles.length;
  return new Promise((resolve) => {
    const look = (): void => {
      if (needles.slice(from).filter(wanted).length >= count) resolve();
      else clock.after(5, look);
    };
    look();
  });
}
