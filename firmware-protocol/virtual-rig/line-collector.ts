import { MAX_LINE_BYTES } from '../codec/line.ts';

const LF = 0x0a;

/** Cuts the station's bytes into lines as a small controller does: one buffer of 96 bytes, the rest of a longer line lost. */
export class LineCollector {
  private readonly buffer = Buffer.alloc(MAX_LINE_BYTES);
  private length = 0;
  private overlong = false;
  private readonly onLine: (line: string) => void;

  constructor(onLine: (line: string) => void) {
    this.onLine = onLine;
  }

  push(bytes: Buffer): void {
    for (const byte of bytes) {
      if (byte === LF) {
        const line = this.overlong ? '' : this.buffer.toString('latin1', 0, this.length);
        this.length = 0;
        this.overlong = false;
        if (line !== '') this.onLine(line);
      } else if (this.length < MAX_LINE_BYTES - 1) this.buffer[this.length++] = byte;
      else this.overlong = true;
    }
  }
}
