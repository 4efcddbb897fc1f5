/** What a person does at the window, and what they see there. Keys go in at the shell, as from a real keyboard. */
import type { ElectronApplication, Locator, Page } from 'playwright-core';
import type { CommandInput, CommandName, CommandOutput } from '../../src/contract/commands.ts';

/** For `expect.poll`: as long as a busy machine may take, never a measure of speed. */
export const patience = { timeout: 20_000 };

/** Keys by Electron's names: `Enter`, `Escape`, `Tab`, `Down`, or one character each. */
export async function press(app: ElectronApplication, ...keys: readonly string[]): Promise<void> {
  await app.evaluate(({ BrowserWindow }, names) => {
    const contents = BrowserWindow.getAllWindows()[0]?.webContents;
    if (contents === undefined) throw new Error('There is no window.');
    for (const keyCode of names) {
      const isCapital = /^[A-Z]$/.test(keyCode);
      const modifiers: 'shift'[] = isCapital ? ['shift'] : [];
      if (isCapital) contents.sendInputEvent({ type: 'keyDown', keyCode: 'Shift', modifiers });
      contents.sendInputEvent({ type: 'keyDown', keyCode, modifiers });
      const text = keyCode === 'Enter' ? '\r' : keyCode === 'Space' ? ' ' : keyCode;
      if (text.length === 1) contents.sendInputEvent({ type: 'char', keyCode: text, modifiers });
      contents.sendInputEvent({ type: 'keyUp', keyCode, modifiers });
      if (isCapital) contents.sendInputEvent({ type: 'keyUp', keyCode: 'Shift' });
    }
  }, keys);
}

/** A barcode scanner: types the whole text within a few milliseconds and ends with Enter, wherever the focus is. */
export const scan = (app: ElectronApplication, text: string): Promise<void> => press(app, ...text, 'Enter');

export const hasFocus = (place: Locator): Promise<boolean> => place.evaluate((element) => element.matches(':focus'));

/** Presses Tab until the named place has the focus. */
export async function tabTo(app: ElectronApplication, page: Page, place: Locator): Promise<void> {
  await place.waitFor();
  for (let stops = 0; stops < 60; stops += 1) {
    if (await hasFocus(place)) return;
    await press(app, 'Tab');
  }
  throw new Error(`Tab does not reach ${place}; ${await page.locator(':focus').count()} element has the focus.`);
}

const verdicts = ['Pass', 'Doubt', 'Fail', 'Void'];

export const benchWord = (page: Page): Locator => page.locator('.known .word');

/** The Bench's large word once it is one of these. */
export async function untilWord(page: Page, ...words: readonly string[]): Promise<string> {
  const one = new RegExp(`^(${words.join('|')})$`);
  await page.locator('.known .word').filter({ hasText: one }).waitFor({ timeout: 45_000 });
  return (await benchWord(page).textContent()) ?? '';
}

export const untilVerdict = (page: Page): Promise<string> => untilWord(page, ...verdicts);

/** What the window itself would ask, over its own bridge: to set a bench up, not to judge it. */
export async function core<N extends CommandName>(
  page: Page,
  name: N,
  input: CommandInput<N>,
): Promise<CommandOutput<N>> {
  const answer = await page.evaluate(([command, order]) => window.faderwright.callCore(command, order), [
    name,
    input,
  ] as const);
  const { ok, output, error } = answer as { ok: boolean; output: unknown; error?: { message: string } };
  if (!ok) throw new Error(`${name}: ${error?.message}`);
  return output as CommandOutput<N>;
}

export interface VirtualBatch {
  readonly timeFactor: number;
  readonly size?: number;
  readonly seed?: number;
}

/** A virtual rig of programme fader law PF-104, ready to measure. */
export async function startVirtualRig(page: Page, { timeFactor, size = 6, seed = 7 }: VirtualBatch): Promise<string[]> {
  const { serials } = await core(page, 'virtual.start', {
    seed,
    size,
    lawId: 'PF-104',
    finish: 'delivered',
    faultShare: 0,
    timeFactor,
  });
  return serials;
}

/** What the person will choose when the program next asks for a file; null = they change their mind. */
export const chooseFile = (app: ElectronApplication, path: string | null): Promise<void> =>
  app.evaluate(({ dialog }, chosen) => {
    dialog.showOpenDialog = () =>
      Promise.resolve({ canceled: chosen === null, filePaths: chosen === null ? [] : [chosen] });
  }, path);

/** Where the person will write to when the program next asks. */
export const chooseWritePath = (app: ElectronApplication, path: string): Promise<void> =>
  app.evaluate(({ dialog }, filePath) => {
    dialog.showSaveDialog = () => Promise.resolve({ canceled: false, filePath });
  }, path);

/**
 * The text of a place, asked for at the shell: also of a window whose process was killed and started anew. Null while there
 * is no such place, or nobody to answer.
 */
export const textOf = (app: ElectronApplication, selector: string): Promise<string | null> =>
  app.evaluate(({ BrowserWindow }, place) => {
    const contents = BrowserWindow.getAllWindows()[0]?.webContents;
    if (contents === undefined || contents.isCrashed()) return null;
    const answer = contents.executeJavaScript(
      `document.querySelector(${JSON.stringify(place)})?.textContent ?? null`,
    ) as Promise<string | null>;
    // A question that is under way when the window's process dies is never answered.
    const noAnswer = new Promise<null>((resolve) => setTimeout(() => resolve(null), 1_000));
    return Promise.race([answer.catch(() => null), noAnswer]);
  }, selector);

/** Kills the window's own process. */
export async function killWindow(app: ElectronApplication): Promise<void> {
  const pid = await app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows()[0]?.webContents.getOSProcessId());
  if (pid === undefined) throw new Error('There is no window.');
  process.kill(pid, 'SIGKILL');
}
