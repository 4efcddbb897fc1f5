import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { formatLine, parseLine } from '../../../firmware-protocol/codec/index.ts';
import type { ExchangeVector, Expected, Vectors } from '../../../firmware-protocol/generate/vector-types.ts';
import { createVirtualRig } from '../../../firmware-protocol/virtual-rig/in-process.ts';
import { VirtualClock } from '../../../firmware-protocol/virtual-rig/virtual-clock.ts';
import { testLaw } from './laws.ts';

const file = new URL('../../../firmware-protocol/vectors.json', import.meta.url);
const { exchanges } = JSON.parse(readFileSync(file, 'utf8')) as Vectors;

/** Beats of the test itself; their answers are nobody's business. */
const beatNumber = 0xfeed;

class Player {
  readonly clock = new VirtualClock();
  readonly rig = createVirtualRig({ law: testLaw, seed: 3, clock: this.clock });
  private readonly inbox: string[] = [];
  private wake: (() => void) | null = null;
  private buffered = '';
  quiet = false;

  constructor() {
    this.rig.port.on('data', (bytes: Buffer) => {
      this.buffered += bytes.toString('latin1');
      for (let lf = this.buffered.indexOf('\n'); lf !== -1; lf = this.buffered.indexOf('\n')) {
        const line = this.buffered.slice(0, lf + 1);
        this.buffered = this.buffered.slice(lf + 1);
        if (line.slice(1, 5) !== 'FEED') this.inbox.push(line);
      }
      this.wake?.();
    });
    this.beat();
  }

  send(text: string): void {
    this.rig.port.write(text, 'latin1');
  }

  /** Next line that is not an event or sample nobody asked for. */
  async next(wanted: Expected): Promise<string> {
    for (;;) {
      const line = this.inbox.shift();
      if (line === undefined) {
        const woken = new Promise<void>((resolve) => {
          this.wake = resolve;
        });
        await this.clock.runUntil(woken);
        continue;
      }
      const eventWanted = 'like' in wanted && wanted.like.kind === 'event';
      if ((line.startsWith('*') && !eventWanted) || line.startsWith('.')) continue;
      return line;
    }
  }

  private beat(): void {
    this.clock.after(25, () => {
      if (!this.quiet) this.send(formatLine({ kind: 'express', number: beatNumber, word: 'beat' }));
      this.beat();
    });
  }
}

async function play(vector: ExchangeVector): Promise<void> {
  const player = new Player();
  const { sideDoor } = player.rig;
  const kept: string[] = [];
  for (const [index, step] of vector.steps.entries()) {
    player.quiet = step.quiet === true;
    if (step.restart) sideDoor.restart();
    if (step.locks) {
      sideDoor.setEmergencyStop(step.locks.e === 1);
      sideDoor.setGuard(step.locks.g === 1);
      sideDoor.setClamp(step.locks.p === 1);
    }
    if (step.send !== undefined) player.send(step.send);
    // Nothing expected: what comes must not be mistaken for a later step's answer.
    if (step.expect.length === 0) await player.clock.advance(20);
    for (const wanted of step.expect) {
      const line = await player.next(wanted);
      const where = `step ${index}: ${line.trim()}`;
      if ('exact' in wanted) expect(line, where).toBe(wanted.exact);
      else if ('again' in wanted) expect(line, where).toBe(kept[wanted.again]);
      else {
        const parsed = parseLine(line.slice(0, -1));
        expect(parsed.ok && parsed.line, where).toMatchObject(wanted.like);
      }
      kept[index] = line;
    }
  }
  player.rig.close();
}

describe('the exchanges every rig must pass', () => {
  test.each(exchanges.map((vector) => [vector.name, vector] as const))('%s', (_name, vector) => play(vector));
});
