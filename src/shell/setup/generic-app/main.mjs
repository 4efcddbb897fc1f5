// What the fallback runtime runs when it is called `electron [-r MODULE]... APP [args]`: it becomes APP.
// Packed into resources/default_app.asar; runs inside Electron, so plain JavaScript.
import { existsSync, readFileSync, statSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { app } from 'electron';

const requireFromHere = createRequire(join(process.cwd(), 'electron-command-line.cjs'));

/** Splits the command line into modules to load first and the app's path; switches before APP belong to Chromium. */
function readCommandLine(words) {
  const modules = [];
  for (let i = 0; i < words.length; i += 1) {
    const word = words[i];
    if (word === '-r' || word === '--require') {
      i += 1;
      if (words[i] !== undefined) modules.push(words[i]);
    } else if (word === '-v' || word === '--version') {
      return { modules, wantsVersion: true };
    } else if (!word.startsWith('-')) {
      return { modules, appWord: word };
    }
  }
  return { modules };
}

/** The file to start and what package.json says about it; APP may be a folder or a file. */
function readApp(appWord) {
  const place = resolve(appWord);
  if (!existsSync(place)) throw new Error(`No app at ${place}.`);
  if (!statSync(place).isDirectory()) return { folder: dirname(place), mainFile: place, about: {} };
  const packageFile = join(place, 'package.json');
  const about = existsSync(packageFile) ? JSON.parse(readFileSync(packageFile, 'utf8')) : {};
  return { folder: place, mainFile: createRequire(packageFile).resolve(place), about };
}

async function start() {
  const { modules, appWord, wantsVersion } = readCommandLine(process.argv.slice(1));
  if (wantsVersion) {
    process.stdout.write(`v${process.versions.electron}\n`);
    process.exit(0);
  }
  // Preloaded modules see the whole command line and may cut their own words out of it: rewrite it only afterwards.
  for (const module of modules) requireFromHere(module);
  if (appWord === undefined) throw new Error('No app was named. Use: electron [-r MODULE] APP [args]');

  const { folder, mainFile, about } = readApp(appWord);
  Object.defineProperty(process, 'defaultApp', { value: true, enumerable: true, configurable: false });
  process.argv = [process.argv[0], ...process.argv.slice(process.argv.indexOf(appWord))];
  if (typeof about.version === 'string') app.setVersion(about.version);
  const name = about.productName ?? about.name;
  if (typeof name === 'string') {
    app.setName(name);
    app.setPath('userData', join(app.getPath('appData'), name));
  }
  app.setAppPath(folder);
  await import(pathToFileURL(mainFile).href);
}

// Awaited, so that Electron holds back "ready" until the app's own module has run.
try {
  await start();
} catch (cause) {
  process.stderr.write(`electron: ${cause instanceof Error ? (cause.stack ?? cause.message) : String(cause)}\n`);
  process.exit(1);
}
