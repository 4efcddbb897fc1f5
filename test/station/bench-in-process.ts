/** A whole bench in one process on virtual time: real station, real archive file, virtual rig over an in-process line. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { VirtualRig } from '../../firmware-protocol/virtual-rig/in-process.ts';
import { createVirtualRig } from '../../firmware-protocol/virtual-rig/in-process.ts';
import type { RigOptions } from '../../firmware-protocol/virtual-rig/options.ts';
import { VirtualClock } from '../../firmware-protocol/virtual-rig/virtual-clock.ts';
import { openArchive } from '../../src/archive/open.ts';
import type { RunSummary } from '../../src/archive/records.ts';
import { exampleLaw } from '../../src/law/examples.ts';
import { LineLostError } from '../../src/rig/errors.ts';
import { overDuplex } from '../../src/rig/transport.ts';
import { Station, type StationListener, type StationOptions } from '../../src/station/station.ts';

export interface InProcessBench {
  readonly clock: VirtualClock;
  readonly rig: VirtualRig;
  readonly station: Station;
  readonly folder: string;
  /** Measures one fader to the end, in no wall time. */
  measure(index: number): Promise<RunSummary>;
  close(): Promise<void>;
}

const silent: StationListener = {
  changed() {},
  livePoint() {},
  recorded() {},
  asked() {},
  rigEvent() {},
  trouble() {},
};

export async function openBench(
  options: Omit<RigOptions, 'law'>,
  listener: Partial<StationListener> = {},
  trimListener: NonNullable<StationOptions['trimListener']> = { piece() {}, needle() {} },
): Promise<InProcessBench> {
  const law = exampleLaw('PF-104');
  const clock = new VirtualClock();
  const rig = createVirtualRig({
    ...options,
    law: { ...law, nominalOhm: law.resistance.nominalOhm },
    clock,
  });
  const folder = mkdtempSync(join(tmpdir(), 'faderwright-bench-'));
  const epochMs = Date.parse('2026-11-25T08:00:00Z');
  const now = (): Date => new Date(epochMs + clock.nowMs());
  const archive = openArchive(join(folder, 'bench.sqlite'), { programVersion: 'test', now });
  let id = 0;
  let greeting = 4711;
  const station = new Station({
    archive,
    programVersion: 'test',
    now,
    newId: () => `00000000-0000-4000-8000-${String(id++).padStart(12, '0')}`,
    random16() {
      greeting = (greeting + 1000) % 0x10000;
      return greeting;
    },
    clock,
    log() {},
    listener: { ...silent, ...listener },
    trimListener,
  });
  station.open();
  const certificate = rig.sideDoor.certificate(now().toISOString(), new Date(epochMs + 365 * 86_400_000).toISOString());
  archive.storeCalibration({ id: certificate.id, data: certificate });
  await station.rigDesk.connect('in-process', async () => {
    const port = rig.reopen();
    if (port === null) throw new LineLostError('in-process', 'unplugged');
    return overDuplex(port, 'in-process');
  });
  await clock.runUntil(station.rigDesk.whenReady(10_000));
  return {
    clock,
    rig,
    station,
    folder,
    async measure(index) {
      const { serial } = rig.sideDoor.load(index);
      const { runId } = station.start({
        serial,
        operator: 'KD',
        lawId: 'PF-104',
        lawRevision: null,
        batch: 'B1',
        job: 'measure',
      });
      return (await clock.runUntil(station.wait(runId))).summary;
    },
    async close() {
      await clock.runUntil(station.close());
      rig.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
