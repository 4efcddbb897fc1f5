/**
 * What the program costs on top of physics: wall time of a 21-point check in both directions, divided by the least time the
 * rig's own limits allow for the very same plan. Real-time virtual rig on a real pseudo-terminal.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { startRigProcess } from '../../firmware-protocol/virtual-rig/serve.ts';
import { openArchive } from '../../src/archive/open.ts';
import { exampleLaw } from '../../src/law/examples.ts';
import { pointCheck } from '../../src/procedure/point-check.ts';
import { openSerial } from '../../src/rig/serial-transport.ts';
import { profileFor, profileForVisit } from '../../src/rig/timing.ts';
import { planFloorUs } from '../../src/station/floor.ts';
import { Station } from '../../src/station/station.ts';
import { atMost, type BenchLine, median, told } from './line.ts';

const rounds = 5;

export async function benchOverhead(seed: number): Promise<BenchLine[]> {
  const law = exampleLaw('PF-104');
  const folder = mkdtempSync(join(tmpdir(), 'faderwright-overhead-'));
  const rig = await startRigProcess({ law: { ...law, nominalOhm: law.resistance.nominalOhm }, seed, size: rounds });
  const now = (): Date => new Date();
  const archive = openArchive(join(folder, 'bench.sqlite'), { programVersion: 'bench', now });
  const nobody = () => {};
  const station = new Station({
    archive,
    programVersion: 'bench',
    now,
    newId: () => crypto.randomUUID(),
    random16: () => Math.floor(performance.now() * 7919) % 0x10000,
    log: nobody,
    listener: {
      changed: nobody,
      livePoint: nobody,
      recorded: nobody,
      asked: nobody,
      rigEvent: nobody,
      trouble: nobody,
    },
  });
  try {
    station.open();
    const certificate = await rig.sideDoor.certificate(now().toISOString(), '2099-01-01T00:00:00.000Z');
    archive.storeCalibration({ id: certificate.id, data: certificate });
    await station.rigDesk.connect(rig.path, () => openSerial(rig.path));
    const { limits } = await station.rigDesk.whenReady(5_000);
    const calibration = station.rigDesk.calibration();
    if (calibration === null) throw new Error('the bench has no calibration');
    const { plan } = pointCheck({ law, calibration, limits, profileFor, profileForVisit });
    const ratios: number[] = [];
    const seconds: number[] = [];
    for (let round = 0; round < rounds; round += 1) {
      const { serial } = await rig.sideDoor.load(round);
      const floorUs = planFloorUs(plan, limits, (await rig.sideDoor.moment()).positionUm);
      const began = performance.now();
      const { runId } = station.start({
        serial,
        operator: 'KD',
        lawId: law.id,
        lawRevision: null,
        batch: null,
        job: 'measure',
      });
      const { summary } = await station.wait(runId);
      const wallMs = performance.now() - began;
      if (summary.outcome !== 'completed') throw new Error(`round ${round + 1}: ${summary.verdictReason}`);
      // A second look at a lone point is measured work too, but not of this plan.
      const looks = (archive.run(runId)?.readings.length ?? 0) - plan.filter((step) => 'tag' in step).length;
      if (looks > 0) continue;
      ratios.push((wallMs * 1000) / floorUs);
      seconds.push(wallMs / 1000);
    }
    return [
      atMost(
        `host overhead: wall time over physical floor, median of ${ratios.length} real-time checks`,
        median(ratios),
        '',
        1.05,
      ),
      told('point check, 21 points both ways, real time, recorded', median(seconds), 's'),
    ];
  } finally {
    await station.close();
    await rig.stop();
    rmSync(folder, { recursive: true, force: true });
  }
}
