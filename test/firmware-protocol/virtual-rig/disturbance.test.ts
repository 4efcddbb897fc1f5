import { describe, expect, test } from 'vitest';
import { cleanLine, type Disturbance, DisturbedWay } from '../../../firmware-protocol/virtual-rig/disturbance.ts';
import { VirtualClock } from '../../../firmware-protocol/virtual-rig/virtual-clock.ts';
import { Random } from '../../../src/fader/random.ts';

const count = 4000;
const sent = Array.from({ length: count }, (_, i) => `line ${String(i).padStart(6, '0')} of the test\n`);

async function through(change: Partial<Disturbance>): Promise<{ text: string; atMs: number[] }> {
  const clock = new VirtualClock();
  let text = '';
  const atMs: number[] = [];
  const way = new DisturbedWay(clock, new Random(5), { ...cleanLine, ...change }, (bytes) => {
    text += bytes.toString('latin1');
    atMs.push(clock.nowMs());
  });
  for (const line of sent) way.push(Buffer.from(line, 'latin1'));
  await clock.advance(600_000);
  return { text, atMs };
}

/** Five standard errors of a share found among `n` tries. */
const within = (share: number, n: number): number => 5 * Math.sqrt((share * (1 - share)) / n);

describe('a disturbed line, seed 5', () => {
  test('left alone gives every byte in order, whatever its latency', async () => {
    expect((await through({})).text).toBe(sent.join(''));
    const late = await through({ latencyMs: [0.3, 1.2] });
    expect(late.text).toBe(sent.join(''));
    expect(late.atMs[0]).toBeGreaterThanOrEqual(0.3);
  });

  test('paced at 115200 takes ten bits a byte', async () => {
    const { atMs } = await through({ baud: 115_200 });
    expect(atMs.at(-1)).toBeCloseTo((sent.join('').length * 10_000) / 115_200, 3);
  });

  test('damages the share of bytes asked for, and never keeps the old byte', async () => {
    const clean = sent.join('');
    const { text } = await through({ corruptOneIn: 50 });
    expect(text).toHaveLength(clean.length);
    const wrong = [...text].filter((c, i) => c !== clean[i]).length / clean.length;
    expect(Math.abs(wrong - 1 / 50)).toBeLessThan(within(1 / 50, clean.length));
  });

  test('loses and doubles whole lines in the shares asked for', async () => {
    const lost = (await through({ dropLines: 0.1 })).text.split('\n').length - 1;
    expect(Math.abs(1 - lost / count - 0.1)).toBeLessThan(within(0.1, count));
    const doubled = (await through({ duplicateLines: 0.1 })).text.split('\n').length - 1;
    expect(Math.abs(doubled / count - 1 - 0.1)).toBeLessThan(within(0.1, count));
  });

  test('holds lines up without letting others overtake', async () => {
    const { text } = await through({ delayLines: 0.2, delayMs: 30, latencyMs: [0.3, 1.2] });
    expect(text).toBe(sent.join(''));
  });

  test('takes bytes in any pieces', async () => {
    const clock = new VirtualClock();
    let text = '';
    const way = new DisturbedWay(clock, new Random(5), cleanLine, (bytes) => {
      text += bytes.toString('latin1');
    });
    for (const byte of Buffer.from('one\ntwo\n', 'latin1')) way.push(Buffer.from([byte]));
    await clock.advance(1);
    expect(text).toBe('one\ntwo\n');
  });
});
