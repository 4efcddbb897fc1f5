/** Opens the archive named on the command line and prints the code of the refusal. */
import { ArchiveError } from '../../src/archive/errors.ts';
import { openArchive } from '../../src/archive/open.ts';

try {
  openArchive(process.argv[2] ?? '', { programVersion: '0.1.0', now: () => new Date() }).close();
  console.log('opened');
} catch (error) {
  console.log(error instanceof ArchiveError ? error.code : String(error));
}
