/** What is bundled for the window and how: renderer, preload, shell, and the core for the packaged app. */
import { builtinModules } from 'node:module';
import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import type { InlineConfig } from 'vite';

const root = fileURLToPath(new URL('../../../', import.meta.url));
const nodeModules = builtinModules.flatMap((name) => [name, `node:${name}`]);
/** Native modules and what loads them stay outside the bundle. */
const native = ['better-sqlite3', 'serialport', '@serialport/parser-readline', 'koffi'];

export const bundleFolder = `${root}out/app`;
export type BundleName = 'renderer' | 'preload' | 'shell' | 'core';

const program = (entry: string, file: string, format: 'cjs' | 'es', target: string): InlineConfig => ({
  configFile: false,
  root,
  logLevel: 'warn',
  build: {
    outDir: bundleFolder,
    emptyOutDir: false,
    target,
    minify: false,
    sourcemap: true,
    ssr: `${root}${entry}`,
    rolldownOptions: { external: ['electron', ...nodeModules, ...native], output: { format, entryFileNames: file } },
  },
  ssr: { noExternal: true, external: native },
});

export const bundles: Readonly<Record<BundleName, InlineConfig>> = {
  renderer: {
    configFile: false,
    root: `${root}renderer`,
    base: './',
    logLevel: 'warn',
    plugins: [react()],
    // Fonts and pictures stay files: the content policy allows no data: fonts.
    build: {
      outDir: `${bundleFolder}/renderer`,
      emptyOutDir: true,
      target: 'chrome130',
      assetsInlineLimit: 0,
      chunkSizeWarningLimit: 2_000,
    },
  },
  preload: program('src/shell/preload.ts', 'preload.cjs', 'cjs', 'node20'),
  shell: program('src/shell/main.ts', 'shell.cjs', 'cjs', 'node20'),
  core: program('src/core/main.ts', 'core.mjs', 'es', 'node22'),
};
