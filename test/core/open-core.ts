/** A real core in its own process on an archive of its own, with a virtual rig where one is asked for. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished, vi } from 'vitest';
import type { VirtualRequest } from '../../src/contract/commands.ts';
import type { CoreEvent, Snapshot } from '../../src/contract/state.ts';
import { launchCore, type RunningCore } from '../../src/core/launch.ts';

// Every core is a process, and most bring a rig: on a busy machine each starts in its own time.
vi.setConfig({ testTimeout: 90_000, hookTimeout: 90_000 });

export interface OpenCore extends RunningCore {
  readonly archivePath: string;
  /** Everything that came, oldest first. */
  readonly events: readonly CoreEvent[];
  /** Resolves with the first snapshot, from now on or the last one, of which this holds. */
  until(holds: (snapshot: Snapshot) => boolean): Promise<Snapshot>;
  /** Resolves with the first event of the kind, from now on. */
  next<K extends CoreEvent['kind']>(kind: K): Promise<Extract<CoreEvent, { kind: K }>>;
}

export function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'faderwright-core-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

export async function openCore(archivePath = join(newFolder(), 'bench.sqlite')): Promise<OpenCore> {
  const core = launchCore({ archivePath });
  onTestFinished(() => core.stop());
  const events: CoreEvent[] = [];
  core.client.onEvent((event) => events.push(event));
  await core.client.ready;
  return {
    ...core,
    archivePath,
    events,
    async until(holds) {
      const now = await core.client.call('snapshot', {});
      if (holds(now)) return now;
      return new Promise((resolve, reject) => {
        const stop = core.client.onEvent((event) => {
          if (event.kind !== 'snapshot' || !holds(event.snapshot)) return;
          stop();
          resolve(event.snapshot);
        });
        core.client.onGone(reject);
      });
    },
    next: (kind) =>
      new Promise((resolve, reject) => {
        const stop = core.client.onEvent((event) => {
          if (event.kind !== kind) return;
          stop();
          resolve(event as never);
        });
        core.client.onGone(reject);
      }),
  };
}

export async function withRig(core: OpenCore, changed: Partial<VirtualRequest> = {}): Promise<readonly string[]> {
  const request: VirtualRequest = {
    ...{ seed: 4, size: 4, lawId: 'PF-104', finish: 'delivered', faultShare: 0, timeFactor: 300 },
    ...changed,
  };
  return (await core.client.call('virtual.start', request)).serials;
}

export const requestFor = (serial: string) =>
  ({ serial, operator: 'KD', lawId: 'PF-104', batch: 'B-1', job: 'measure' }) as const;
