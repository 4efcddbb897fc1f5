import { homedir } from 'node:os';
import { isAbsolute, join } from 'node:path';

/** The program's cache folder, outside any checkout. On Linux after the XDG base directory specification. */
export function cacheFolder(
  env: NodeJS.ProcessEnv = process.env,
  platform: NodeJS.Platform = process.platform,
): string {
  if (platform === 'darwin') return join(homedir(), 'Library', 'Caches', 'faderwright');
  if (platform === 'win32')
    return join(env.LOCALAPPDATA ?? join(homedir(), 'AppData', 'Local'), 'faderwright', 'cache');
  const xdg = env.XDG_CACHE_HOME;
  // The specification: a relative path there is invalid and to be ignored.
  return join(xdg !== undefined && isAbsolute(xdg) ? xdg : join(homedir(), '.cache'), 'faderwright');
}
