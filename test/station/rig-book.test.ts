/** Whose run it was when the program did not live to end it: the virtual mark must never be lost. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import type { Archive } from '../../src/archive/archive.ts';
import { openArchive } from '../../src/archive/open.ts';
import { noteRig, rigOfOpening } from '../../src/station/rig-book.ts';

const realRig = { model: 'bench-1', serial: 'R-0007', firmware: '1.4.0', protocol: 1, isVirtual: false };

function newArchive(): Archive {
  const folder = mkdtempSync(join(tmpdir(), 'faderwright-rigs-'));
  const archive = openArchive(join(folder, 'bench.sqlite'), { programVersion: 'test', now: () => new Date() });
  onTestFinished(() => {
    archive.close();
    rmSync(folder, { recursive: true, force: true });
  });
  return archive;
}

it('a rig that was noted is known with everything it said of itself, the newest last', () => {
  const archive = newArchive();
  noteRig(archive, realRig);
  noteRig(archive, { ...realRig, firmware: '1.5.0' });
  noteRig(archive, { ...realRig, serial: 'R-0008', isVirtual: true });
  const rigSerial = 'R-0007';
  expect(rigOfOpening(archive, { rigSerial, calibrationId: null })).toEqual({ ...realRig, firmware: '1.5.0' });
});

it('a rig that was never noted stays a gap, unless its calibration says that it was a virtual one', () => {
  const archive = newArchive();
  const kept = { rigSerial: 'R-0009', madeAt: '2026-11-25T08:00:00.000Z' };
  archive.storeCalibration({ id: 'cal-real', data: { ...kept, source: 'certificate' } });
  archive.storeCalibration({ id: 'cal-virtual', data: { ...kept, source: 'virtual' } });
  const rigSerial = 'R-0009';
  expect(rigOfOpening(archive, { rigSerial, calibrationId: null })).toBeNull();
  expect(rigOfOpening(archive, { rigSerial, calibrationId: 'cal-real' })).toBeNull();
  expect(rigOfOpening(archive, { rigSerial: null, calibrationId: 'cal-virtual' })).toBeNull();
  expect(rigOfOpening(archive, { rigSerial, calibrationId: 'cal-virtual' })).toMatchObject({
    serial: 'R-0009',
    isVirtual: true,
  });
});
