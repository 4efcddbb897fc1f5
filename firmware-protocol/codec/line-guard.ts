/** Keeps a babbling line from filling memory: stands between the port and the line splitter. */
import { Transform, type TransformCallback } from 'node:stream';
import { MAX_LINE_BYTES } from './line.ts';

const LF = 0x0a;

/**
 * Passes bytes through, but of one line at most 96 bytes before its LF; the rest is dropped and counted. A line of
 * 96 bytes without its LF is one too long, so `parseLine` refuses what is left of it (`length`).
 */
export class LineGuard extends Transform {
  /** Lines shortened so far, and bytes dropped from them. */
  overlongLines = 0;
  droppedBytes = 0;
  private lineBytes = 0;

  override _transform(chunk: Buffer | string, encoding: BufferEncoding, done: TransformCallback): void {
    const bytes = typeof chunk === 'string' ? Buffer.from(chunk, encoding) : chunk;
    let start = 0;
    while (start < bytes.length) {
      const lf = bytes.indexOf(LF, start);
      const end = lf === -1 ? bytes.length : lf;
      const room = MAX_LINE_BYTES - Math.min(this.lineBytes, MAX_LINE_BYTES);
      const passed = Math.min(end - start, room);
      const dropped = end - start - passed;
      if (dropped > 0) {
        if (this.lineBytes <= MAX_LINE_BYTES) this.overlongLines += 1;
        this.droppedBytes += dropped;
      }
      if (passed > 0) this.push(bytes.subarray(start, start + passed));
      if (lf === -1) {
        this.lineBytes = Math.min(this.lineBytes + (end - start), MAX_LINE_BYTES + 1);
        break;
      }
      this.push(bytes.subarray(lf, lf + 1));
      this.lineBytes = 0;
      start = lf + 1;
    }
    done();
  }

  /** A line that the end of the stream cuts off is spoiled, because a splitter would hand it on as if it were whole. */
  override _flush(done: TransformCallback): void {
    if (this.lineBytes > 0) this.push(Buffer.of(0));
    done();
  }
}
