import { closeSync, constants, openSync } from 'node:fs';
import { ReadStream } from 'node:tty';

/** This machine has no pseudo-terminal to offer. */
export class PtyUnavailableError extends Error {
  override readonly name = 'PtyUnavailableError';
  readonly code = 'ptyUnavailable';
  readonly userFixable = false;

  constructor(reason: string, options?: ErrorOptions) {
    super(
      `No serial line without hardware here: ${reason}. The virtual rig works inside the program instead: faderwright measure --virtual.`,
      options,
    );
  }
}

/** One pseudo-terminal: bytes written to it appear at the device file as from a serial cable. */
export interface Pty {
  readonly devicePath: string;
  readonly stream: ReadStream;
  /** The device vanishes, as when the plug is pulled. */
  close(): void;
}

interface Libc {
  posix_openpt(flags: number): number;
  grantpt(fd: number): number;
  unlockpt(fd: number): number;
  ptsname(fd: number): string | null;
  tcgetattr(fd: number, termios: Buffer): number;
  cfmakeraw(termios: Buffer): void;
  tcsetattr(fd: number, when: number, termios: Buffer): number;
}

/** Larger than struct termios of any system served here; its content is never looked at. */
const termiosBytes = 256;
const applyNow = 0;

async function loadLibc(): Promise<Libc> {
  if (process.platform === 'win32') throw new PtyUnavailableError('Windows has no pseudo-terminals of this kind');
  try {
    const koffi = (await import('koffi')).default;
    const library = koffi.load(null);
    return {
      posix_openpt: library.func('int posix_openpt(int flags)'),
      grantpt: library.func('int grantpt(int fd)'),
      unlockpt: library.func('int unlockpt(int fd)'),
      ptsname: library.func('const char *ptsname(int fd)'),
      tcgetattr: library.func('int tcgetattr(int fd, void *termios)'),
      cfmakeraw: library.func('void cfmakeraw(void *termios)'),
      tcsetattr: library.func('int tcsetattr(int fd, int when, void *termios)'),
    };
  } catch (error) {
    throw new PtyUnavailableError('the system library cannot be called (koffi)', { cause: error });
  }
}

/** @throws PtyUnavailableError */
export async function openPty(): Promise<Pty> {
  const libc = await loadLibc();
  const master = libc.posix_openpt(constants.O_RDWR | constants.O_NOCTTY);
  if (master < 0) throw new PtyUnavailableError('the system gave no pseudo-terminal');
  if (libc.grantpt(master) !== 0 || libc.unlockpt(master) !== 0) {
    closeSync(master);
    throw new PtyUnavailableError('the system did not unlock its pseudo-terminal');
  }
  const devicePath = libc.ptsname(master);
  if (devicePath === null) {
    closeSync(master);
    throw new PtyUnavailableError('the system did not name its pseudo-terminal');
  }
  // Kept open: otherwise the master ends with EIO whenever the station closes the port.
  const slave = openSync(devicePath, constants.O_RDWR | constants.O_NOCTTY);
  // Raw from the start: a line discipline that echoes would send the rig its own words before anyone opens the port.
  const termios = Buffer.alloc(termiosBytes);
  if (libc.tcgetattr(slave, termios) !== 0) {
    closeSync(slave);
    closeSync(master);
    throw new PtyUnavailableError('the settings of the pseudo-terminal cannot be read');
  }
  libc.cfmakeraw(termios);
  libc.tcsetattr(slave, applyNow, termios);
  const stream = new ReadStream(master);
  let open = true;
  return {
    devicePath,
    stream,
    close() {
      if (!open) return;
      open = false;
      closeSync(slave);
      stream.destroy();
    },
  };
}
