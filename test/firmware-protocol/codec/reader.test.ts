import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatLine, MAX_LINE_BYTES } from '../../../firmware-protocol/codec/index.ts';
import { arbitraryLine } from './arbitrary-lines.ts';
import { readAll } from './read-all.ts';

/** Cuts bytes into chunks of the given lengths, in turn. */
function chunked(bytes: Uint8Array, lengths: readonly number[]): Uint8Array[] {
  const chunks: Uint8Array[] = [];
  let at = 0;
  for (let turn = 0; at < bytes.length; turn += 1) {
    const length = lengths[turn % lengths.length] ?? 1;
    chunks.push(bytes.subarray(at, at + length));
    at += length;
  }
  return chunks;
}

const cuts = fc.array(fc.integer({ min: 1, max: 150 }), { minLength: 1, maxLength: 20 });
/** Any bytes but LF, so that only the lines themselves end lines. */
const rubbish = fc.uint8Array({ maxLength: 300 }).map((bytes) => bytes.map((byte) => (byte === 0x0a ? 0x00 : byte)));

describe('the reading chain: guard, splitter, parser', () => {
  test('survives any bytes in any chunks and never holds more than one line', async () => {
    await fc.assert(
      fc.asyncProperty(fc.uint8Array({ maxLength: 2000 }), cuts, async (bytes, lengths) => {
        const found = await readAll(chunked(bytes, lengths));
        expect(found.longest).toBeLessThanOrEqual(MAX_LINE_BYTES);
      }),
      { numRuns: 300 },
    );
  });

  test('finds every good line after the next LF, whatever came before and however it was cut', async () => {
    const piece = fc.tuple(rubbish, arbitraryLine);
    await fc.assert(
      fc.asyncProperty(fc.array(piece, { minLength: 1, maxLength: 8 }), cuts, async (pieces, lengths) => {
        const bytes = Buffer.concat(pieces.flatMap(([noise, line]) => [noise, Buffer.from(`\n${line}`, 'latin1')]));
        const found = await readAll(chunked(bytes, lengths));
        expect(found.good).toEqual(pieces.map(([, line]) => line.slice(0, -1)));
      }),
      { numRuns: 300 },
    );
  });

  test('the chunking does not matter', async () => {
    const bytes = fc.array(
      fc.oneof(
        rubbish,
        arbitraryLine.map((line) => new Uint8Array(Buffer.from(line))),
      ),
      {
        maxLength: 10,
      },
    );
    await fc.assert(
      fc.asyncProperty(bytes, cuts, async (parts, lengths) => {
        const whole = Buffer.concat(parts);
        const once = await readAll([whole]);
        const cut = await readAll(chunked(whole, lengths));
        expect(cut.good).toEqual(once.good);
        expect(cut.dropped).toEqual(once.dropped);
        expect(cut.guard.droppedBytes).toBe(once.guard.droppedBytes);
        expect(cut.guard.overlongLines).toBe(once.guard.overlongLines);
      }),
      { numRuns: 300 },
    );
  });

  test('a line of a million bytes is counted, dropped, and costs nothing but itself', async () => {
    const babble = Buffer.alloc(1_000_000, 0x41);
    const beat = formatLine({ kind: 'express', number: 1, word: 'beat' }).slice(0, -1);
    const found = await readAll([babble, Buffer.from(`\n${beat}\n`)]);
    expect(found.good).toEqual([beat]);
    expect(found.longest).toBe(MAX_LINE_BYTES);
    expect(found.guard.overlongLines).toBe(1);
    expect(found.guard.droppedBytes).toBe(1_000_000 - MAX_LINE_BYTES);
  });

  test('one over-long line in many chunks is counted once', async () => {
    const found = await readAll([...Array.from({ length: 50 }, () => Buffer.alloc(7, 0x42)), Buffer.from('\n')]);
    expect(found.guard.overlongLines).toBe(1);
    expect(found.guard.droppedBytes).toBe(350 - MAX_LINE_BYTES);
  });

  test('a line cut off by the end of the stream is not taken for whole', async () => {
    const beat = await readAll([Buffer.from('~0001 beat DEAD')]);
    expect(beat.good).toEqual([]);
    expect(beat.dropped).toEqual(['~0001 beat DEAD\u0000']);
  });
});
