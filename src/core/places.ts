/** Where the station keeps its files when nothing else is said. */
import { homedir } from 'node:os';
import { join } from 'node:path';

type Environment = Readonly<Record<string, string | undefined>>;

/** The folder for the archive, by the customs of the system. */
export function dataFolder(platform: NodeJS.Platform, env: Environment, home: string = homedir()): string {
  if (platform === 'win32') return join(env.LOCALAPPDATA ?? join(home, 'AppData', 'Local'), 'Faderwright');
  if (platform === 'darwin') return join(home, 'Library', 'Application Support', 'Faderwright');
  return join(env.XDG_DATA_HOME ?? join(home, '.local', 'share'), 'faderwright');
}

export function defaultArchivePath(
  platform: NodeJS.Platform = process.platform,
  env: Environment = process.env,
): string {
  return join(dataFolder(platform, env), 'bench.sqlite');
}
