/** The window shows this program's own files and nothing else: no navigation, no new windows, no permissions, no network. */
import { readFile } from 'node:fs/promises';
import { extname, join, normalize, sep } from 'node:path';
import type { App, Protocol, Session, WebContents } from 'electron';

export const scheme = 'faderwright';
export const startUrl = `${scheme}://window/index.html`;

export const contentSecurityPolicy = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self'",
  "font-src 'self'",
  "connect-src 'none'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
  // Text never becomes markup or code, not even through a library.
  "require-trusted-types-for 'script'",
  "trusted-types 'none'",
].join('; ');

const contentTypes: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.woff2': 'font/woff2',
  '.json': 'application/json',
};

/** The path of a built file for a URL of our scheme, or null when it would leave the folder. */
export function fileFor(url: string, folder: string): string | null {
  try {
    const { protocol, host, pathname } = new URL(url);
    if (protocol !== `${scheme}:` || host !== 'window') return null;
    const path = normalize(join(folder, decodeURIComponent(pathname)));
    return path.startsWith(folder + sep) && !path.includes('\0') ? path : null;
  } catch (error) {
    // Not a URL, or broken percent signs: nothing of ours is called that.
    if (error instanceof TypeError || error instanceof URIError) return null;
    throw error;
  }
}

/** Must run before the app is ready. */
export function declareScheme(protocol: Protocol): void {
  protocol.registerSchemesAsPrivileged([{ scheme, privileges: { standard: true, secure: true } }]);
}

/**
 * Takes the network away from Chromium itself, before the app is ready: what the request filter never sees (name look-ups,
 * early connections, peer connections) finds no host either. The serial line belongs to the core and is not touched.
 */
export function closeNetwork(app: App): void {
  app.commandLine.appendSwitch('host-resolver-rules', 'MAP * ~NOTFOUND');
  app.commandLine.appendSwitch('force-webrtc-ip-handling-policy', 'disable_non_proxied_udp');
  app.commandLine.appendSwitch('disable-background-networking');
  // A proxy that nobody answers on: the discard port of this machine.
  app.commandLine.appendSwitch('proxy-server', 'http://127.0.0.1:9');
  app.commandLine.appendSwitch('proxy-bypass-list', '<-loopback>');
}

/** Whether a request may be answered: only files of our own window, and the inspector's in a checkout. */
export const mayRequest = (url: string, allowsInspector: boolean): boolean =>
  url.startsWith(`${scheme}://window/`) || (allowsInspector && url.startsWith('devtools:'));

export interface WindowService {
  readonly folder: string;
  /** True only from a checkout. */
  readonly allowsInspector: boolean;
  readonly log: (text: string) => void;
}

export function serveWindow(session: Session, { folder, allowsInspector, log }: WindowService): void {
  session.protocol.handle(scheme, async (request) => {
    const path = request.method === 'GET' ? fileFor(request.url, folder) : null;
    const type = path === null ? undefined : contentTypes[extname(path)];
    if (path === null || type === undefined) return new Response('not here', { status: 404 });
    try {
      const bytes = await readFile(path);
      return new Response(new Uint8Array(bytes), {
        headers: {
          'content-type': type,
          'content-security-policy': contentSecurityPolicy,
          'x-content-type-options': 'nosniff',
          'x-dns-prefetch-control': 'off',
          'referrer-policy': 'no-referrer',
          'cache-control': 'no-store',
        },
      });
    } catch (error) {
      log(`cannot serve ${path}: ${String(error)}`);
      return new Response('not here', { status: 404 });
    }
  });
  session.setPermissionRequestHandler((_contents, _permission, answer) => answer(false));
  session.setPermissionCheckHandler(() => false);
  session.setDevicePermissionHandler(() => false);
  session.setSpellCheckerEnabled(false);
  session.on('will-download', (event, item) => {
    event.preventDefault();
    log(`refused a download of ${item.getURL().slice(0, 200)}`);
  });
  session.webRequest.onBeforeRequest((details, answer) => {
    const own = mayRequest(details.url, allowsInspector);
    if (!own) log(`refused a request to ${details.url.slice(0, 200)}`);
    answer({ cancel: !own });
  });
}

export function fence(app: App, log: (text: string) => void): void {
  app.on('web-contents-created', (_event, contents: WebContents) => {
    const refuse =
      (what: string) =>
      (event: { preventDefault(): void }): void => {
        event.preventDefault();
        log(`refused ${what}`);
      };
    contents.on('will-navigate', refuse('a navigation'));
    contents.on('will-frame-navigate', refuse('a navigation of a frame'));
    contents.on('will-redirect', refuse('a redirection'));
    contents.on('will-attach-webview', refuse('an embedded page'));
    // Here "prevent" means: the page may not keep the window from closing.
    contents.on('will-prevent-unload', refuse('a page that would not be closed'));
    contents.setWindowOpenHandler(({ url }) => {
      log(`refused a new window for ${url.slice(0, 200)}`);
      return { action: 'deny' };
    });
    contents.setWebRTCIPHandlingPolicy('disable_non_proxied_udp');
  });
}
