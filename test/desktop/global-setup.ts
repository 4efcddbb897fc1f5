/** Once for all window tests: the runtime is there, the bundles are fresh, and there is a screen. */
import { buildStale } from '../../src/shell/build/build.ts';
import { electronRuntime } from '../../src/shell/setup/runtime.ts';
import { startDisplay, type TestDisplay } from './display.ts';

let display: TestDisplay | null = null;

export async function setup(): Promise<void> {
  await electronRuntime({ say: (line) => console.log(line) });
  await buildStale(['preload', 'shell', 'renderer']);
  const needsDisplay = process.platform === 'linux' && !process.env.DISPLAY && !process.env.WAYLAND_DISPLAY;
  if (!needsDisplay) return;
  display = await startDisplay();
  process.env.DISPLAY = display.name;
}

export async function teardown(): Promise<void> {
  await display?.stop();
}
