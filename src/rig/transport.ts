import type { Duplex } from 'node:stream';
import { ReadlineParser } from '@serialport/parser-readline';
import { LineGuard } from '../../firmware-protocol/codec/index.ts';
import { LineLostError } from './errors.ts';

/**
 * An opened stream of lines to and from a rig. A transport is opened once and closed once; a new session needs a
 * new transport, so that nothing written to a closed one can ever reach a rig.
 */
export interface Transport {
  /** Port name for messages, e.g. `/dev/ttyACM0`. */
  readonly name: string;
  readonly isOpen: boolean;
  /** Sends one whole line (with its LF). Throws LineLostError when closed: nothing is ever queued for later. */
  write(line: string): void;
  /** Every line received, without its LF, checksum not yet looked at. */
  onLine(listener: (line: string) => void): void;
  /** Called exactly once, also when the transport was closed before the listener came. */
  onClosed(listener: (reason: string) => void): void;
  /** Idempotent. Resolves when the port may be opened again. */
  close(reason?: string): Promise<void>;
}

/** A rig that no longer drains its line must not find old orders there when it wakes up. */
const BACKLOG_MAX_BYTES = 4096;

/** What differs between a serial port and any other byte stream. */
export interface TransportParts {
  readonly name: string;
  readonly stream: Duplex;
  /** Throws away what is not sent yet and releases the port; must not reject. */
  readonly release: () => Promise<void>;
}

/** A transport over any duplex byte stream, for example an in-process rig. */
export function overDuplex(stream: Duplex, name = 'in-process'): Transport {
  return makeTransport({
    name,
    stream,
    release: async () => {
      stream.destroy();
    },
  });
}

export function makeTransport({ name, stream, release }: TransportParts): Transport {
  const lineListeners: ((line: string) => void)[] = [];
  const closedListeners: ((reason: string) => void)[] = [];
  let closedBecause: string | null = null;
  let released: Promise<void> | null = null;

  const guard = new LineGuard();
  // One character per byte: a decoder for wider characters would hold back damaged bytes.
  const lines = guard.pipe(new ReadlineParser({ delimiter: '\n', encoding: 'latin1' }));
  lines.on('data', (line: string) => {
    for (const listener of lineListeners) listener(line);
  });
  stream.on('data', (chunk: Buffer) => {
    if (closedBecause === null) guard.write(chunk);
  });

  const close = (reason: string): Promise<void> => {
    if (closedBecause === null) {
      closedBecause = reason;
      for (const listener of closedListeners.splice(0)) listener(reason);
    }
    released ??= release();
    return released;
  };
  // A vanished port reports itself as error, end, close or several of them, sometimes close twice.
  stream.on('error', (error) => void close(error.message));
  stream.on('end', () => void close('the other side ended the stream'));
  stream.on('close', (error?: Error | null) => void close(error?.message ?? 'the port was closed'));
  if (stream.destroyed) void close('the port was closed');

  return {
    name,
    get isOpen() {
      return closedBecause === null;
    },
    write(line) {
      if (closedBecause !== null) throw new LineLostError(name, closedBecause);
      if (stream.writableLength > BACKLOG_MAX_BYTES) {
        const reason = 'the rig no longer takes what is sent';
        void close(reason);
        throw new LineLostError(name, reason);
      }
      stream.write(line, 'latin1');
    },
    onLine: (listener) => void lineListeners.push(listener),
    onClosed(listener) {
      if (closedBecause === null) closedListeners.push(listener);
      else listener(closedBecause);
    },
    close: (reason = 'closed by the program') => close(reason),
  };
}
