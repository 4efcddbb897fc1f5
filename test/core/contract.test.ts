/** Both sides of the contract against whatever else may come over the channel. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { connectCore } from '../../src/contract/client.ts';
import type { Channel, FromCore } from '../../src/contract/messages.ts';
import { serve } from '../../src/core/server.ts';
import { type OpenCore, openCore } from './open-core.ts';

/** Sends a message as it is and gives the next answer with this id, or the next trouble event when it has none. */
function answerTo(core: OpenCore, message: object, id: number | null): Promise<FromCore> {
  return new Promise((resolve) => {
    const listen = (raw: unknown): void => {
      const answer = raw as FromCore;
      const isIt =
        id === null ? answer.kind === 'event' && answer.event.kind === 'trouble' : 'id' in answer && answer.id === id;
      if (!isIt) return;
      core.process.off('message', listen);
      resolve(answer);
    };
    core.process.on('message', listen);
    core.process.send(message);
  });
}

describe('the core', () => {
  it('answers every malformed call in words, and goes on', async () => {
    const core = await openCore();
    const calls: readonly [object, RegExp][] = [
      [{ kind: 'call', name: 'nobody.knows', input: {} }, /name: /],
      [{ kind: 'call', name: 'constructor', input: {} }, /name: /],
      [{ kind: 'call', name: '__proto__', input: {} }, /name: /],
      [{ kind: 'shout', name: 'snapshot', input: {} }, /kind: /],
      [{ name: 'snapshot' }, /kind/],
      [{ kind: 'call', name: 'run.read' }, /input is missing/],
      [{ kind: 'call', name: 'run.read', input: null }, /expected object/],
      [{ kind: 'call', name: 'run.read', input: { runId: 7 } }, /runId: /],
      [{ kind: 'call', name: 'run.read', input: {} }, /runId is missing/],
      [{ kind: 'call', name: 'run.start', input: { serial: 'x' } }, /operator is missing.*lawId is missing/],
      [{ kind: 'call', name: 'rig.creep', input: { targetMm: Number.NaN, speedMmPerS: 5 } }, /targetMm/],
      [{ kind: 'call', name: 'rig.creep', input: { targetMm: 5, speedMmPerS: 2_000 } }, /speedMmPerS/],
      [{ kind: 'call', name: 'runs.find', input: { limit: -1 } }, /limit/],
      [{ kind: 'call', name: 'runs.ofSerial', input: { serial: 'x'.repeat(5_000_000) } }, /serial: /],
      [
        { kind: 'call', name: 'law.check', input: { name: 'a', text: 'x'.repeat(3_000_000), baseLawId: null } },
        /text: /,
      ],
      [{ kind: 'call', name: 'virtual.start', input: { seed: 1, size: 1e9 } }, /size: /],
      [{ kind: 'call', name: 'settings.write', input: { theme: 'pink' } }, /theme/],
    ];
    let id = 1_000;
    for (const [message, says] of calls) {
      id += 1;
      const answer = await answerTo(core, { id, ...message }, id);
      expect(answer).toMatchObject({ kind: 'error', error: { code: 'contract.shape', userFixable: false } });
      if (answer.kind !== 'error') continue;
      expect(answer.error.message).toMatch(says);
      expect(answer.error.message.length).toBeLessThan(2_000);
    }
    expect(await answerTo(core, { kind: 'call', name: 'snapshot', input: {} }, null)).toMatchObject({
      event: { error: { code: 'contract.shape' } },
    });
    expect((await core.client.call('snapshot', {})).archivePath).toBe(core.archivePath);
  });

  it('survives anything that the channel can carry', async () => {
    const core = await openCore();
    const messages = fc.sample(fc.anything({ withDate: true, withTypedArray: true, maxDepth: 3 }), {
      numRuns: 300,
      seed: 20261125,
    });
    for (const message of messages) {
      // The channel itself carries no bare value and no function.
      if (typeof message === 'object' && message !== null) core.process.send(message);
    }
    expect((await core.client.call('law.list', {})).length).toBe(4);
  });

  it('says that it is not ready, and afterwards why it never will be', async () => {
    const { channel, sent, arrive } = fakeChannel();
    const server = serve(channel, () => null);
    arrive({ kind: 'call', id: 1, name: 'law.list', input: {} });
    await Promise.resolve();
    server.failed(new RangeError('the disk is on fire'));
    arrive({ kind: 'call', id: 2, name: 'law.list', input: {} });
    await Promise.resolve();
    expect(sent).toMatchObject([
      { kind: 'error', id: 1, error: { message: expect.stringMatching(/still opening its archive/) } },
      { kind: 'failed', error: { message: 'the disk is on fire' } },
      { kind: 'error', id: 2, error: { message: 'the disk is on fire' } },
    ]);
  });
});

describe('the caller', () => {
  it('believes no answer that has not the agreed shape', async () => {
    const { channel, sent, arrive } = fakeChannel();
    const client = connectCore(channel);
    const ports = client.call('rig.ports', {});
    arrive({ kind: 'done', id: idOf(sent[0]), output: [{ path: 7 }] });
    await expect(ports).rejects.toMatchObject({ code: 'contract.shape', message: expect.stringMatching(/rig\.ports/) });
  });

  it('fails every waiting call when a message makes no sense, and ignores answers nobody waits for', async () => {
    const { channel, sent, arrive } = fakeChannel();
    const client = connectCore(channel);
    const [first, second] = [client.call('law.list', {}), client.call('doctor', {})];
    arrive({ kind: 'done', id: 99, output: {} });
    arrive({ kind: 'error', id: 98, error: { code: 'x', message: 'y', userFixable: true, details: [] } });
    arrive({ kind: 'event', event: { kind: 'snapshot', snapshot: { run: 'yes' } } });
    await expect(first).rejects.toMatchObject({ code: 'contract.shape' });
    await expect(second).rejects.toMatchObject({ code: 'contract.shape' });
    await expect(client.ready).rejects.toMatchObject({ code: 'contract.shape' });
    const third = client.call('law.list', {});
    arrive({ kind: 'done', id: idOf(sent.at(-1)), output: [] });
    expect(await third).toEqual([]);
  });

  it('hears at once when the core is gone, and of every later call too', async () => {
    const { channel, close } = fakeChannel();
    const client = connectCore(channel);
    const gone: string[] = [];
    client.onGone(({ reason }) => gone.push(reason));
    const waiting = client.call('law.list', {});
    close('signal SIGKILL');
    await expect(waiting).rejects.toMatchObject({ code: 'core.gone', message: expect.stringMatching(/SIGKILL/) });
    await expect(client.call('doctor', {})).rejects.toMatchObject({ code: 'core.gone' });
    expect(gone).toEqual(['signal SIGKILL']);
  });
});

const idOf = (message: unknown): number => (message as { id: number }).id;

function fakeChannel() {
  const sent: unknown[] = [];
  const listeners: ((message: unknown) => void)[] = [];
  const closers: ((reason: string) => void)[] = [];
  const channel: Channel = {
    post: (message) => void sent.push(message),
    onMessage(listener) {
      listeners.push(listener);
      return () => {};
    },
    onClose(listener) {
      closers.push(listener);
      return () => {};
    },
    close() {},
  };
  return {
    channel,
    sent,
    arrive: (message: unknown) => {
      for (const listener of listeners) listener(message);
    },
    close: (reason: string) => {
      for (const closer of closers) closer(reason);
    },
  };
}
