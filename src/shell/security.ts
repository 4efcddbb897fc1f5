/** The window shows this program's own files and nothing else: no navigation, no new windows, no permissions. */
import { readFile } from 'node:fs/promises';
import { extname, join, normalize, sep } from 'node:path';
import type { App, Protocol, Session, WebContents } from 'electron';

export const scheme = 'faderwright';
export const startUrl = `${scheme}://window/index.html`;

export const contentSecurityPolicy = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self' data:",
  "font-src 'self'",
  "connect-src 'none'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
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
  const { host, pathname } = new URL(url);
  if (host !== 'window') return null;
  const path = normalize(join(folder, decodeURIComponent(pathname)));
  return path.startsWith(folder + sep) ? path : null;
}

/** Must run before the app is ready. */
export function declareScheme(protocol: Protocol): void {
  protocol.registerSchemesAsPrivileged([{ scheme, privileges: { standard: true, secure: true } }]);
}

export function serveWindow(session: Session, folder: string): void {
  session.protocol.handle(scheme, async (request) => {
    const path = fileFor(request.url, folder);
    const type = path === null ? undefined : contentTypes[extname(path)];
    if (path === null || type === undefined) return new Response('not here', { status: 404 });
    try {
      const bytes = await readFile(path);
      return new Response(new Uint8Array(bytes), {
        headers: {
          'content-type': type,
          'content-security-policy': contentSecurityPolicy,
          'x-content-type-options': 'nosniff',
        },
      });
    } catch {
      return new Response('not here', { status: 404 });
    }
  });
  session.setPermissionRequestHandler((_contents, _permission, answer) => answer(false));
  session.setPermissionCheckHandler(() => false);
  // Nothing the window shows comes from a network, so no request to one may leave.
  session.webRequest.onBeforeRequest((details, answer) => {
    const own =
      details.url.startsWith(`${scheme}:`) || details.url.startsWith('data:') || details.url.startsWith('devtools:');
    answer({ cancel: !own });
  });
}

export function fence(app: App): void {
  app.on('web-contents-created', (_event, contents: WebContents) => {
    contents.on('will-navigate', (event) => event.preventDefault());
    contents.on('will-redirect', (event) => event.preventDefault());
    contents.on('will-attach-webview', (event) => event.preventDefault());
    contents.setWindowOpenHandler(() => ({ action: 'deny' }));
  });
}
