/** Serves the window with the canned core: `node test/renderer/faders/window/serve.ts [port]`. */
import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { createServer } from 'vite';

export const pagePath = '/test/renderer/faders/window/index.html';

/** @returns the address, and how to end it */
export async function serveWindow(
  port = 0,
  path = pagePath,
): Promise<{ readonly url: string; close(): Promise<void> }> {
  const server = await createServer({
    configFile: false,
    root: fileURLToPath(new URL('../../../../', import.meta.url)),
    cacheDir: fileURLToPath(new URL('../../../../out/window-fixture-cache', import.meta.url)),
    logLevel: 'warn',
    plugins: [react()],
    server: { host: '127.0.0.1', port, hmr: false, watch: null },
  });
  await server.listen();
  const address = server.httpServer?.address();
  const at = typeof address === 'object' && address !== null ? address.port : port;
  return { url: `http://127.0.0.1:${at}${path}`, close: () => server.close() };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  console.log((await serveWindow(Number(process.argv[2] ?? '5179'))).url);
}
