/** What a screen is told while a fader is measured, and what is refused meanwhile. */
import { describe, expect, it } from 'vitest';
import { openCore, requestFor, withRig } from './open-core.ts';

const closed = { guardClosed: true, emergencyStopReleased: true, clampClosed: true };

describe('a run', () => {
  it('waits for the guard, says so, goes on by itself, and is told point by point', async () => {
    const core = await openCore();
    const { client } = core;
    const [serial = ''] = await withRig(core);
    await client.call('virtual.interlocks', { ...closed, guardClosed: false });
    const asked = core.next('ask');
    const { runId, attempt } = await client.call('run.start', requestFor(serial));
    expect(attempt).toBe(1);
    expect(await asked).toMatchObject({ runId, question: 'Close the guard.' });
    const waiting = await core.until(({ run }) => run?.waitingFor != null);
    expect(waiting.run).toMatchObject({
      runId,
      serial,
      waitingFor: 'Close the guard.',
      doing: 'Waiting for the operator',
    });
    expect(waiting.run?.fraction).toBeLessThan(0.1);
    expect((await core.until(({ rig }) => rig.interlocks?.guardClosed === false)).rig.state).toBe('ready');

    const recorded = core.next('recorded');
    await client.call('virtual.interlocks', closed);
    const { summary } = await client.call('run.wait', { runId });
    expect(summary).toMatchObject({ runId, serial, outcome: 'completed', isVirtual: true, batch: 'B-1' });
    const event = await recorded;
    expect(event.summary).toEqual(summary);
    expect(event.points).toHaveLength(21);
    expect(event.nextStep).not.toBe('');

    // While it ran nothing was waited for any more, and the bar never went back.
    const runs = core.events.flatMap((one) =>
      one.kind === 'snapshot' && one.snapshot.run !== null ? [one.snapshot.run] : [],
    );
    expect(runs.at(-1)?.waitingFor).toBeNull();
    const fractions = runs.map(({ fraction }) => fraction);
    expect(fractions).toEqual(fractions.toSorted((a, b) => a - b));
    expect(fractions.every((fraction) => fraction >= 0 && fraction <= 1)).toBe(true);

    // Each point was told once in each direction as it was read; a window loaded anew gets the same.
    const live = core.events.flatMap((one) => (one.kind === 'livePoint' ? [one.point] : []));
    expect(new Set(live.map(({ pointIndex, direction }) => `${pointIndex} ${direction}`)).size).toBe(42);
    expect((await client.call('run.livePoints', {})).points).toEqual(live);
    expect((await client.call('snapshot', {})).run).toBeNull();
  });

  it('stopped while it waits for the operator moves nothing and is recorded as stopped', async () => {
    const core = await openCore();
    const [serial = ''] = await withRig(core);
    await core.client.call('virtual.interlocks', { ...closed, clampClosed: false });
    const { runId } = await core.client.call('run.start', requestFor(serial));
    await core.until(({ run }) => run?.waitingFor === 'Close the clamp on the fader.');
    await core.client.call('run.stop', {});
    const { summary } = await core.client.call('run.wait', { runId });
    expect(summary).toMatchObject({ outcome: 'stopped', verdict: 'void' });
    expect((await core.client.call('run.read', { runId })).readings).toEqual([]);
  });

  it.each([
    ['before the carriage has moved', 0],
    ['among the points', 12],
  ])('paused %s stands still, and goes on when told', async (_name, step) => {
    const core = await openCore();
    const [serial = ''] = await withRig(core, { timeFactor: 60 });
    const { runId } = await core.client.call('run.start', requestFor(serial));
    await core.until(({ run }) => (run?.stepIndex ?? -1) >= step);
    await core.client.call('run.pause', {});
    const paused = await core.until(({ run }) => run?.state === 'paused');
    const [{ positionUm }, later] = [await core.client.call('rig.read', {}), await core.client.call('rig.read', {})];
    expect(later.positionUm).toBe(positionUm);
    expect(paused.run?.runId).toBe(runId);
    await core.client.call('run.resume', {});
    expect((await core.client.call('run.wait', { runId })).summary).toMatchObject({ outcomeReason: null });
  });
});

describe('while a fader is measured', () => {
  it('nothing else may move the rig or change what is in the clamp; a halt ends the run', async () => {
    const core = await openCore();
    const { client } = core;
    const [serial = '', other = ''] = await withRig(core, { timeFactor: 1 });
    // Two at once: the second must not take the first one's fader out.
    const [first, second] = await Promise.allSettled([
      client.call('run.start', requestFor(serial)),
      client.call('run.start', requestFor(other)),
    ]);
    expect(first.status).toBe('fulfilled');
    const busy = { code: 'request.busy', message: expect.stringMatching(new RegExp(`${serial} is being measured`)) };
    expect(second).toMatchObject({ status: 'rejected', reason: busy });
    expect((await client.call('snapshot', {})).virtual?.loadedSerial).toBe(serial);

    const virtual = { seed: 1, size: 1, lawId: 'PF-104', finish: 'delivered', faultShare: 0, timeFactor: 1 } as const;
    for (const refused of [
      () => client.call('rig.home', {}),
      () => client.call('rig.park', {}),
      () => client.call('rig.creep', { targetMm: 50, speedMmPerS: 5 }),
      () => client.call('rig.connect', { path: '/dev/none' }),
      () => client.call('rig.disconnect', {}),
      () => client.call('calibrate.divider', { nominalLossDb: 20 }),
      () => client.call('virtual.load', { index: 1 }),
      () => client.call('virtual.fitDivider', { lossDb: 20 }),
      () => client.call('virtual.start', virtual),
      () => client.call('virtual.stop', {}),
      () => client.call('run.start', requestFor(other)),
    ]) {
      await expect(refused()).rejects.toMatchObject(busy);
    }
    await client.call('rig.halt', {});
    const runId = first.status === 'fulfilled' ? first.value.runId : '';
    expect((await client.call('run.wait', { runId })).summary).toMatchObject({ outcome: 'stopped', serial });
    expect((await client.call('virtual.load', { index: 1 })).serial).toBe(other);
  });
});

describe('without a rig or a run', () => {
  it('what needs one is refused by name', async () => {
    const { client } = await openCore();
    for (const [call, code] of [
      [() => client.call('run.start', requestFor('PF104-26-48-00001')), 'rig.absent'],
      [() => client.call('run.start', requestFor('nonsense')), 'serialNumberMalformed'],
      [() => client.call('run.start', { ...requestFor('PF104-26-48-00001'), lawId: 'XX' }), 'law.unknown'],
      [() => client.call('rig.home', {}), 'rig.absent'],
      [() => client.call('rig.connect', { path: '/dev/faderwright-none' }), 'portMissing'],
      [() => client.call('run.stop', {}), 'request.nothingRunning'],
      [() => client.call('run.wait', { runId: 'x' }), 'request.unknownRun'],
      [() => client.call('run.read', { runId: 'x' }), 'request.unknownRun'],
      [() => client.call('virtual.load', { index: 0 }), 'request.virtualRig'],
      [() => client.call('report.write', { batch: 'none', path: '/tmp/x.html', title: 'x' }), 'request.emptyBatch'],
      [() => client.call('law.write', { id: 'PF-104', revision: 7, form: 'json', path: '/tmp/x.json' }), 'law.unknown'],
    ] as const) {
      await expect(call()).rejects.toMatchObject({
        code,
        userFixable: true,
        message: expect.stringMatching(/\. \S|\.$/),
      });
    }
  });
});
