/** The rest of a bench's day through the core: settings, calibrating, files that leave the station. */
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Calibration } from '../../src/trust/calibration.ts';
import { newFolder, type OpenCore, openCore, requestFor, withRig } from './open-core.ts';

describe('settings', () => {
  it('are whole from the start, change one by one, and stay', async () => {
    const core = await openCore();
    const { client } = core;
    const first = await client.call('settings.read', {});
    expect(first).toMatchObject({ operators: [], theme: 'system', firstStartDone: false });
    await client.call('settings.write', { operators: ['KD', 'Äß'], theme: 'dark' });
    expect(await client.call('settings.write', { sound: true })).toEqual({
      ...first,
      ...{ operators: ['KD', 'Äß'], theme: 'dark', sound: true },
    });
    await core.stop();
    const next = await openCore(core.archivePath);
    expect(await next.client.call('settings.read', {})).toMatchObject({ operators: ['KD', 'Äß'], sound: true });
  });
});

describe('a calibration made at the bench', () => {
  it('from dividers and gauges comes close to the certificate, and is the active one', async () => {
    const core = await openCore();
    const { client } = core;
    const [serial = ''] = await withRig(core, { timeFactor: 100 });
    const certificate = await onlyCalibration(core);
    const dividers = [];
    for (const lossDb of [20, 40, 60] as const) {
      await client.call('virtual.fitDivider', { lossDb });
      const reading = await client.call('calibrate.divider', { nominalLossDb: lossDb });
      expect(Math.abs((reading.lossDb ?? Number.NaN) - lossDb)).toBeLessThan(0.05);
      dividers.push(reading);
    }
    await client.call('virtual.fitDivider', { lossDb: null });
    await client.call('rig.home', {});
    const gauges = [];
    for (const targetMm of [12, 90]) {
      await client.call('rig.creep', { targetMm, speedMmPerS: 20 });
      const { positionUm, approach } = await client.call('rig.read', {});
      expect(approach).toBe('up');
      // A gauge of exactly the travel at which a knob stands that came upward.
      const { scale, zeroMm, backlashMm } = certificate.position;
      gauges.push({ travelMm: (positionUm / 1000) * scale + zeroMm - backlashMm / 2, positionUm, approach });
    }
    const [first, second] = gauges;
    if (first === undefined || second === undefined) throw new Error('two gauges');
    const order = { operator: 'KD', gauges: [first, second], dividers, validDays: 30 } as const;
    const { calibration } = await client.call('calibrate.store', { ...order, gauges: [first, second], dividers });

    const { position, meter } = calibration;
    const relative = Math.hypot(meter.uGain, certificate.meter.uGain);
    expect(Math.abs(meter.gain - certificate.meter.gain)).toBeLessThan(3 * relative);
    const counts = Math.hypot(meter.uOffsetCounts, certificate.meter.uOffsetCounts);
    expect(Math.abs(meter.offsetCounts - certificate.meter.offsetCounts)).toBeLessThan(4 * counts);
    expect(position.scale).toBeCloseTo(certificate.position.scale, 9);
    expect(position.zeroMm).toBeCloseTo(certificate.position.zeroMm, 6);
    expect(position.uZeroMm).toBeGreaterThan(0);
    expect(calibration).toMatchObject({ source: 'gauges', madeBy: 'KD', rigSerial: certificate.rigSerial });
    expect(Date.parse(calibration.dueAt) - Date.parse(calibration.madeAt)).toBe(30 * 86_400_000);

    const { runId } = await client.call('run.start', requestFor(serial));
    expect((await client.call('run.wait', { runId })).summary.outcome).toBe('completed');
    expect((await client.call('run.read', { runId })).calibrationId).toBe(calibration.id);
  });

  it('is refused when nothing was measured, or when it cannot be true', async () => {
    const core = await openCore();
    const { client } = core;
    await withRig(core);
    const order = { operator: 'KD', gauges: null, dividers: null, validDays: 30 };
    await expect(client.call('calibrate.store', order)).rejects.toMatchObject({ code: 'calibration.refused' });
    await client.call('virtual.fitDivider', { lossDb: 40 });
    const mixedUp = [];
    for (const nominalLossDb of [20, 40, 60] as const) {
      mixedUp.push(await client.call('calibrate.divider', { nominalLossDb }));
    }
    await expect(client.call('calibrate.store', { ...order, dividers: mixedUp })).rejects.toMatchObject({
      code: 'calibration.refused',
      message: expect.stringMatching(/mixed up.*read all three again/),
    });
    expect(await client.call('rig.calibrations', { rigSerial: (await onlyCalibration(core)).rigSerial })).toHaveLength(
      1,
    );
  });
});

describe('files', () => {
  it('leave the station whole: tables, records, a report, a backup, a law', async () => {
    const core = await openCore();
    const { client } = core;
    const folder = join(newFolder(), 'für die Ablage');
    const at = (name: string): string => join(folder, name);
    const serials = await withRig(core, { size: 2 });
    for (const serial of serials) {
      const { runId } = await client.call('run.start', requestFor(serial));
      await client.call('run.wait', { runId });
    }
    for (const what of ['runs', 'points', 'readings', 'checks', 'json'] as const) {
      const written = await client.call('export.write', { query: { batch: 'B-1' }, what, path: at(what) });
      expect(written).toEqual({ runs: 2, bytes: readFileSync(at(what)).length });
    }
    const report = { batch: 'B-1', path: at('report.html'), title: 'Batch <1> & "more"' };
    const { runs, nextSentence } = await client.call('report.write', report);
    expect({ runs, isSentence: nextSentence.endsWith('.') }).toEqual({ runs: 2, isSentence: true });
    const html = readFileSync(at('report.html'), 'utf8');
    expect(html).toContain('Batch &lt;1&gt; &amp; ');
    expect(html).not.toContain('<1>');
    // A report may be made again; an export never writes over anything.
    await client.call('report.write', report);
    await expect(
      client.call('export.write', { query: {}, what: 'runs', path: at('report.html') }),
    ).rejects.toMatchObject({ code: 'request.fileExists' });
    expect((await client.call('archive.backup', { path: at('backup.sqlite') })).runs).toBe(2);
    expect(readdirSync(folder).filter((name) => name.includes('unfinished'))).toEqual([]);

    await client.call('law.write', { id: 'PF-104', revision: 1, form: 'json', path: at('law.json') });
    const text = readFileSync(at('law.json'), 'utf8');
    const checked = await client.call('law.check', { name: 'law.json', text, baseLawId: null });
    expect(checked).toMatchObject({ kind: 'law', law: { id: 'PF-104', revision: 1 } });
    expect(await client.call('law.whereUsed', { id: 'PF-104', revision: 1 })).toMatchObject({ runs: 2, serials: 2 });
  });

  it('that cannot be written are refused by name, and a core that ends in the middle leaves none half', async () => {
    const core = await openCore();
    const file = join(newFolder(), 'plain');
    writeFileSync(file, '');
    await expect(
      core.client.call('export.write', { query: {}, what: 'json', path: join(file, 'x.json') }),
    ).rejects.toMatchObject({ code: 'request.fileUnwritable', userFixable: true });
    expect(existsSync(join(file, 'x.json'))).toBe(false);
  });
});

async function onlyCalibration(core: OpenCore): Promise<Calibration> {
  const { rig } = await core.until((snapshot) => snapshot.rig.identity !== null);
  const [only, ...more] = await core.client.call('rig.calibrations', { rigSerial: rig.identity?.serial ?? '' });
  expect(more).toEqual([]);
  if (only === undefined) throw new Error('the virtual rig has no certificate');
  return only;
}
