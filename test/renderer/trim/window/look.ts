/** Pictures of the Bench while a track is trimmed: `node test/renderer/trim/window/look.ts FOLDER [filter]`. */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { chromium, type Page } from 'playwright-core';
import { serveWindow } from '../../faders/window/serve.ts';
import { trimScenes } from './scenes.ts';

export interface Scene {
  readonly name: string;
  /** Part of the address after `?`. */
  readonly query: string;
  readonly play: (page: Page) => Promise<void>;
}

const folder = process.argv[2] ?? 'out/looks';
const wanted = process.argv[3] ?? '';
const sizes = [
  { name: '1264', width: 1264, height: 704 },
  { name: '1280', width: 1280, height: 800 },
  { name: '1920', width: 1920, height: 1080 },
];
mkdirSync(folder, { recursive: true });
const served = await serveWindow(0, '/test/renderer/trim/window/index.html');
const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: ['--no-sandbox'] });
try {
  for (const theme of ['dark', 'light']) {
    for (const size of sizes) {
      for (const scene of trimScenes) {
        const name = `${scene.name}-${theme}-${size.name}`;
        if (!new RegExp(wanted).test(name)) continue;
        const page = await browser.newPage({ viewport: size });
        page.on('pageerror', (error) => console.log(name, error.message));
        page.on('console', (message) => {
          if (message.type() === 'error') console.log(name, message.text());
        });
        await page.goto(`${served.url}?theme=${theme}&${scene.query}`);
        await page.locator('.frame').waitFor();
        await scene.play(page);
        await page.waitForTimeout(200);
        await page.screenshot({ path: join(folder, `${name}.png`) });
        await page.close();
      }
    }
  }
} finally {
  await browser.close();
  await served.close();
}
