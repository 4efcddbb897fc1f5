/** The program's version, from package.json: it is stored with every run. */
import packageJson from '../../package.json' with { type: 'json' };

export const programVersion: string = packageJson.version;
