import { duplexPair } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { LineLostError } from '../../src/rig/errors.ts';
import { overDuplex } from '../../src/rig/transport.ts';

const turn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

describe('a transport', () => {
  it('hands on whole lines however the bytes are cut', async () => {
    const [near, far] = duplexPair();
    const lines: string[] = [];
    overDuplex(near).onLine((line) => lines.push(line));
    for (const byte of 'one\ntwo\n\nthr') far.write(byte);
    await turn();
    far.write('ee\nfour\n');
    await turn();
    expect(lines).toEqual(['one', 'two', 'three', 'four']);
  });

  it('keeps one character per byte and survives a line without end', async () => {
    const [near, far] = duplexPair();
    const lines: string[] = [];
    overDuplex(near).onLine((line) => lines.push(line));
    far.write(Buffer.from([0xc3, 0x0a]));
    far.write(Buffer.alloc(100_000, 0x41));
    far.write('\nnext\n');
    await turn();
    expect(lines[0]).toBe('\u00c3');
    expect(lines[1]?.length).toBeLessThanOrEqual(96);
    expect(lines[2]).toBe('next');
  });

  it('reports its end once, whether asked before or after, and however the stream ends', async () => {
    const [near] = duplexPair();
    const transport = overDuplex(near);
    const reasons: string[] = [];
    transport.onClosed((reason) => reasons.push(reason));
    near.destroy(new Error('EIO'));
    await turn();
    await transport.close();
    await transport.close();
    near.emit('close');
    transport.onClosed((reason) => reasons.push(`late ${reason}`));
    expect(reasons).toEqual(['EIO', 'late EIO']);
    expect(transport.isOpen).toBe(false);
  });

  it('sees the other side leave', async () => {
    const [near, far] = duplexPair();
    const reasons: string[] = [];
    overDuplex(near).onClosed((reason) => reasons.push(reason));
    far.end();
    await turn();
    expect(reasons).toHaveLength(1);
  });

  it('throws instead of queueing once it is closed', async () => {
    const [near, far] = duplexPair();
    const transport = overDuplex(near);
    const heard: string[] = [];
    far.on('data', (chunk: Buffer) => heard.push(chunk.toString()));
    await transport.close();
    expect(() => transport.write('stale\n')).toThrow(LineLostError);
    await turn();
    expect(heard).toEqual([]);
  });

  it('closes when the other side no longer drains it', () => {
    const [near] = duplexPair();
    const transport = overDuplex(near);
    let reason = '';
    transport.onClosed((why) => {
      reason = why;
    });
    expect(() => {
      for (let index = 0; index < 1000; index += 1) transport.write(`${'x'.repeat(90)}\n`);
    }).toThrow(LineLostError);
    expect(reason).toMatch(/no longer takes/);
  });
});
