/** The real window, core and virtual rig for a tour of the screens: what the stops of the tour are given. */
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { ElectronApplication, Page } from 'playwright-core';
import type { CommandInput, CommandName, CommandOutput } from '../../../src/contract/commands.ts';
import type { LaunchedApp } from '../app.ts';

export interface Tour {
  readonly app: ElectronApplication;
  readonly page: Page;
  readonly folder: string;
  /** Asks the core through the window's own bridge. @throws Error with the core's words */
  call<N extends CommandName>(name: N, input: CommandInput<N>): Promise<CommandOutput<N>>;
  open(screen: 'Bench' | 'Faders' | 'Laws' | 'Rig' | 'Settings'): Promise<void>;
  /** Measures a fader of the virtual batch, from order to disk. */
  measure(serial: string): Promise<CommandOutput<'run.wait'>['summary']>;
  /** The next file dialog answers with this file. */
  offerFile(name: string, text: string): Promise<void>;
}

/** Faders of this batch give every verdict: seed 7 has a pass, a fail and one at its limit among the first 22. */
export const batch = { seed: 7, size: 60, lawId: 'PF-104', finish: 'delivered', faultShare: 0.6 } as const;
export const batchName = 'TFW-26-48';

export function tourOf({ app, page, folder }: LaunchedApp): Tour {
  async function call<N extends CommandName>(name: N, input: CommandInput<N>): Promise<CommandOutput<N>> {
    const answer = (await page.evaluate(([command, order]) => window.faderwright.callCore(command, order), [
      name,
      input,
    ] as const)) as { ok: boolean; output?: unknown; error?: { message: string } };
    if (!answer.ok) throw new Error(`${name}: ${answer.error?.message}`);
    return answer.output as CommandOutput<N>;
  }
  return {
    app,
    page,
    folder,
    call,
    async open(screen) {
      await page.locator('.rail nav a').filter({ hasText: screen }).click();
      await page.locator(`main[aria-label^="${screen}"]`).waitFor();
    },
    async measure(serial) {
      const order = { serial, operator: 'KD', lawId: batch.lawId, batch: batchName, job: 'measure' } as const;
      const { runId } = await call('run.start', order);
      return (await call('run.wait', { runId })).summary;
    },
    async offerFile(name, text) {
      const path = join(folder, name);
      await writeFile(path, text);
      await app.evaluate(({ dialog }, chosen) => {
        dialog.showOpenDialog = async () => ({ canceled: false, filePaths: [chosen] });
      }, path);
    },
  };
}
