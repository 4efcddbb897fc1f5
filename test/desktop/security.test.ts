/** What a page gone wrong could try, tried from inside the real window. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type LaunchedApp, launchApp } from './app.ts';
import { type NetworkTrap, networkTrap } from './network-trap.ts';

let launched: LaunchedApp;
let trap: NetworkTrap;

beforeAll(async () => {
  trap = await networkTrap();
  launched = await launchApp();
}, 60_000);
afterAll(async () => {
  await launched.close();
  await trap.close();
});

const callShell = (name: unknown, input: unknown): Promise<unknown> =>
  launched.page.evaluate(([n, i]) => window.faderwright.callShell(n as string, i), [name, input]);
const callCore = (name: unknown, input: unknown): Promise<unknown> =>
  launched.page.evaluate(([n, i]) => window.faderwright.callCore(n as string, i), [name, input]);

/** Waits until the log holds each of `wanted`, as often as it is given. */
async function refusals(wanted: readonly string[]): Promise<void> {
  const logs = join(launched.folder, 'logs');
  await expect
    .poll(() => {
      const log = readdirSync(logs).filter((name) => name.endsWith('.log'));
      let text = log.map((name) => readFileSync(join(logs, name), 'utf8')).join('');
      return wanted.filter((words) => {
        const isThere = text.includes(words);
        text = text.replace(words, '');
        return !isThere;
      });
    })
    .toEqual([]);
}

describe('the page is shut off from the machine', () => {
  test('the window is isolated and sandboxed, without Node, also in workers and frames', async () => {
    const preferences = await launched.app.evaluate(({ BrowserWindow }) => {
      const contents = BrowserWindow.getAllWindows()[0]?.webContents as unknown as {
        getLastWebPreferences(): Record<string, unknown>;
      };
      return contents.getLastWebPreferences();
    });
    expect(preferences).toMatchObject({
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      nodeIntegrationInSubFrames: false,
      webSecurity: true,
      webviewTag: false,
    });
    expect(preferences.nodeIntegrationInWorker).not.toBe(true);
  });

  test('no name of Node or Electron is reachable in the page', async () => {
    const kinds = await launched.page.evaluate(() =>
      ['require', 'module', 'process', 'Buffer', 'global', 'electron', 'ipcRenderer', '__dirname'].map(
        (name) => `${name} ${typeof (window as unknown as Record<string, unknown>)[name]}`,
      ),
    );
    expect(kinds.filter((kind) => !kind.endsWith('undefined'))).toEqual([]);
  });

  test('the bridge has five functions and cannot be replaced or bent', async () => {
    const seen = await launched.page.evaluate(() => {
      const bridge = window.faderwright as unknown as Record<string, unknown>;
      const before = bridge.callCore;
      const tries = [
        () => Object.assign(bridge, { callCore: () => 'mine' }),
        () => Object.defineProperty(window, 'faderwright', { value: {} }),
      ];
      const refused = tries.map((attempt) => {
        try {
          attempt();
          return 'done';
        } catch {
          return 'refused';
        }
      });
      return { names: Object.keys(bridge).sort(), refused, same: window.faderwright.callCore === before };
    });
    expect(seen).toEqual({
      names: ['callCore', 'callShell', 'onCoreEvent', 'onCoreLife', 'onMenuWish'],
      refused: ['refused', 'refused'],
      same: true,
    });
  });

  test('permissions are refused', async () => {
    const answers = await launched.page.evaluate(async () => {
      const media = await navigator.mediaDevices?.getUserMedia({ audio: true }).then(
        () => 'granted',
        () => 'refused',
      );
      return [media ?? 'absent', await Notification.requestPermission()];
    });
    expect(answers).not.toContain('granted');
  });
});

describe('the content policy', () => {
  test('script in the page, code from text and text as markup are refused', async () => {
    const ran = await launched.page.evaluate(async () => {
      const marks = window as unknown as { ran?: string[] };
      marks.ran = [];
      const attempted = (attempt: () => unknown): string => {
        try {
          attempt();
          return 'done';
        } catch (error) {
          return error instanceof Error ? error.name : 'refused';
        }
      };
      const inline = document.createElement('script');
      const inlineOutcome = attempted(() => inline.append('window.ran.push("inline")'));
      document.body.append(inline);
      const handler = document.createElement('button');
      const handlerOutcome = attempted(() => handler.setAttribute('onclick', 'window.ran.push("handler")'));
      document.body.append(handler);
      handler.click();
      // In a later turn: the driver's own evaluation is allowed what the page is not.
      await new Promise((resolve) => setTimeout(resolve));
      const refusals = [
        // biome-ignore lint/security/noGlobalEval: that it is refused is what is tested
        () => window.eval('window.ran.push("eval")'),
        () => new Function('window.ran.push("function")')(),
        () => setTimeout('window.ran.push("timer")' as unknown as () => void),
        () => {
          document.createElement('div').innerHTML = '<b>x</b>';
        },
      ].map(attempted);
      // What a script or a timer would have done is done by the time of this second timer.
      await new Promise((resolve) => setTimeout(resolve, 100));
      inline.remove();
      handler.remove();
      return { ran: marks.ran, refusals: [inlineOutcome, handlerOutcome, ...refusals] };
    });
    expect(ran.ran).toEqual([]);
    expect(ran.refusals).not.toContain('done');
  });

  test('the program itself never trips over it', async () => {
    const complaints: string[] = [];
    launched.page.on('console', (message) => {
      if (message.type() === 'error') complaints.push(message.text());
    });
    await callCore('settings.write', { firstStartDone: true });
    await Promise.all([
      launched.page.waitForEvent('load'),
      launched.app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows()[0]?.webContents.reload()),
    ]);
    for (const screen of ['Faders', 'Laws', 'Rig', 'Settings', 'Bench'])
      await launched.page.locator('nav').getByText(screen).click();
    expect(complaints).toEqual([]);
  });

  test('it comes with every file of the window', async () => {
    const response = await launched.app.evaluate(async ({ net }) => {
      const answer = await net.fetch('faderwright://window/index.html');
      return { status: answer.status, policy: answer.headers.get('content-security-policy') };
    });
    expect(response.status).toBe(200);
    for (const part of ["default-src 'none'", "script-src 'self'", "connect-src 'none'", "frame-ancestors 'none'"])
      expect(response.policy).toContain(part);
    expect(response.policy).not.toMatch(/unsafe|https?:|\*|data:/);
  });

  test('no file outside the built window is served', async () => {
    const statuses = await launched.app.evaluate(async ({ net }) => {
      const urls = [
        'faderwright://window/../shell.cjs',
        'faderwright://window/%2e%2e/shell.cjs',
        'faderwright://window/..%2f..%2f..%2fpackage.json',
        'faderwright://window/%00index.html',
        'faderwright://window/%zz',
        'faderwright://elsewhere/index.html',
      ];
      return Promise.all(urls.map(async (url) => (await net.fetch(url)).status));
    });
    expect(new Set(statuses)).toEqual(new Set([404]));
  });
});

describe('the way out', () => {
  test('no request reaches a server, by whatever door', async () => {
    const { port } = trap;
    const gathered = await launched.page.evaluate(async (to) => {
      const at = `127.0.0.1:${to}`;
      const ignore = (work: () => unknown): unknown => {
        try {
          return work();
        } catch {
          return null;
        }
      };
      const add = (name: string, facts: Record<string, string>): void => {
        const element = Object.assign(document.createElement(name), facts);
        document.head.append(element);
      };
      ignore(() => add('img', { src: `http://${at}/img` }));
      ignore(() => add('script', { src: `http://${at}/script` }));
      ignore(() => add('link', { rel: 'stylesheet', href: `http://${at}/style` }));
      ignore(() => add('link', { rel: 'preconnect', href: `http://${at}` }));
      ignore(() => add('link', { rel: 'dns-prefetch', href: `http://localhost:${to}` }));
      ignore(() => add('link', { rel: 'prefetch', href: `http://${at}/prefetch` }));
      ignore(() => add('iframe', { src: `http://${at}/frame` }));
      ignore(() => add('object', { data: `http://${at}/object` }));
      ignore(() => add('video', { src: `http://${at}/video` }));
      ignore(() => new WebSocket(`ws://${at}/socket`));
      ignore(() => new EventSource(`http://${at}/events`));
      ignore(() => navigator.sendBeacon(`http://${at}/beacon`, 'x'));
      ignore(() => {
        const form = Object.assign(document.createElement('form'), { action: `http://${at}/form`, method: 'post' });
        document.body.append(form);
        form.submit();
      });
      ignore(() => {
        const font = new FontFace('Stray', `url(http://${at}/font)`);
        void font.load().catch(() => {});
      });
      await fetch(`http://${at}/fetch`).catch(() => {});
      const peer = new RTCPeerConnection({
        iceServers: [
          { urls: `stun:${at}` },
          { urls: `turn:${at}?transport=tcp`, username: 'x', credential: 'x' },
          { urls: `turn:${at}?transport=udp`, username: 'x', credential: 'x' },
        ],
      });
      const found: string[] = [];
      peer.onicecandidate = ({ candidate }) => found.push(candidate?.candidate ?? '');
      peer.createDataChannel('x');
      const complete = new Promise<void>((resolve) => {
        peer.onicegatheringstatechange = () => peer.iceGatheringState === 'complete' && resolve();
      });
      await peer.setLocalDescription(await peer.createOffer());
      await complete;
      peer.close();
      return found.filter((candidate) => candidate !== '');
    }, port);
    expect(gathered).toEqual([]);
    expect(trap.knocks).toEqual([]);
  });

  test('what the request filter never sees finds no network either', async () => {
    const { port } = trap;
    const failures = await launched.app.evaluate(async ({ session }, to) => {
      // Straight from the main process, past every page rule: only the network itself can refuse this.
      const open = session.fromPartition('no-filter-here');
      return Promise.all(
        [`http://127.0.0.1:${to}/`, `http://localhost:${to}/`, 'http://faderwright.invalid/'].map((url) =>
          open.fetch(url).then(
            () => 'answered',
            () => 'refused',
          ),
        ),
      );
    }, port);
    expect(failures).toEqual(['refused', 'refused', 'refused']);
    expect(trap.knocks).toEqual([]);
    // The trap does catch: a program with a network is heard.
    await fetch(`http://127.0.0.1:${port}/control`);
    expect(trap.knocks).toContain('tcp GET /control HTTP/1.1');
  });

  test('the page goes nowhere and opens nothing', async () => {
    const { page, app } = launched;
    const before = page.url();
    const opened = await page.evaluate(() => {
      const other = window.open('faderwright://window/index.html');
      location.assign('http://faderwright.invalid/');
      return other;
    });
    await page.evaluate(() => {
      const link = Object.assign(document.createElement('a'), {
        href: 'http://faderwright.invalid/x',
        target: '_blank',
      });
      document.body.append(link);
      link.click();
      link.remove();
    });
    await page.evaluate(() => location.assign('data:text/html,<h1>x</h1>'));
    await page.evaluate(() => location.assign('faderwright://elsewhere/index.html'));
    await refusals(['refused a new window for faderwright:', 'refused a new window for http:']);
    await refusals(['refused a navigation', 'refused a navigation']);
    expect(opened).toBeNull();
    expect(page.url()).toBe(before);
    expect(await app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows().length)).toBe(1);
    expect(await page.locator('.frame').count()).toBe(1);
  });

  test('the page cannot save a file by downloading it', async () => {
    const outcome = await launched.app.evaluate(
      ({ session, BrowserWindow }) =>
        new Promise<string>((resolve) => {
          session.defaultSession.once('will-download', (event, item) => {
            item.once('done', (_event, state) => resolve(state));
            if (event.defaultPrevented) resolve('refused');
          });
          BrowserWindow.getAllWindows()[0]?.webContents.downloadURL('faderwright://window/index.html');
        }),
    );
    expect(['refused', 'cancelled', 'interrupted']).toContain(outcome);
  });
});

describe('the receiving side of the contract', () => {
  test('unknown commands and malformed inputs are refused with words', async () => {
    const refused = { ok: false, error: { code: 'contract.shape' } };
    for (const name of ['constructor', '__proto__', 'toString', 'shell.openExternal', 7, null])
      expect(await callShell(name, {})).toMatchObject(refused);
    for (const name of ['hasOwnProperty', 'archive.delete', ''])
      expect(await callCore(name, {})).toMatchObject(refused);
    expect(await callCore('rig.creep', { targetMm: 'far', speedMmPerS: 500 })).toMatchObject(refused);
    expect(await callCore('run.start', {})).toMatchObject(refused);
    expect(await callShell('clipboard.copy', { text: 5 })).toMatchObject(refused);
  });

  test('a file that no person chose is neither written nor shown', async () => {
    const path = join(launched.folder, 'stray.html');
    const refused = { ok: false, error: { code: 'file.notChosen', userFixable: true } };
    expect(await callShell('print.pdf', { path })).toMatchObject(refused);
    expect(await callShell('file.show', { path })).toMatchObject(refused);
    expect(await callCore('archive.backup', { path })).toMatchObject(refused);
    expect(await callCore('export.write', { query: {}, what: 'runs', path })).toMatchObject(refused);
    expect(await callCore('report.write', { batch: 'B', path, title: 'B' })).toMatchObject(refused);
    const request = { seed: 1, size: 1, lawId: 'PF-104', finish: 'raw', faultShare: 0, timeFactor: 1 };
    expect(await callCore('virtual.start', { ...request, parametersFile: '/etc/passwd' })).toMatchObject(refused);
    expect(existsSync(path)).toBe(false);
  });

  test('a chosen file is written, and only that one', async () => {
    const path = join(launched.folder, 'chosen.pdf');
    await launched.app.evaluate(({ dialog }, chosen) => {
      dialog.showSaveDialog = () => Promise.resolve({ canceled: false, filePath: chosen });
    }, path);
    const ask = { title: 'PDF', suggestedName: '../../evil.pdf', filters: [] };
    expect(await callShell('file.choosePath', ask)).toEqual({ ok: true, output: { path } });
    expect(await callShell('print.pdf', { path })).toMatchObject({ ok: true });
    expect(existsSync(path)).toBe(true);
    expect(await callShell('print.pdf', { path: `${path}.html` })).toMatchObject({ ok: false });
  });

  test('another window of the same program is not answered, even with our preload and our page', async () => {
    const answers = await launched.app.evaluate(async ({ BrowserWindow, app }) => {
      const preload = `${app.getAppPath()}/out/app/preload.cjs`;
      const stranger = new BrowserWindow({ show: false, webPreferences: { preload, sandbox: true } });
      await stranger.loadURL('faderwright://window/index.html');
      const ask = 'Promise.all([faderwright.callShell("logs.show", {}), faderwright.callCore("snapshot", {})])';
      const answered = (await stranger.webContents.executeJavaScript(ask)) as unknown;
      stranger.destroy();
      return answered;
    });
    const refused = { ok: false, error: { code: 'contract.shape', message: expect.stringContaining('not come from') } };
    expect(answers).toMatchObject([refused, refused]);
  });
});
