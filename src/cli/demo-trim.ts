/** The second part of the demo: a batch of raw tracks is trimmed with a virtual tool and reported. */
import type { CoreClient } from '../contract/client.ts';
import type { TrimBatch } from '../contract/trim.ts';
import type { InterruptGuard } from './measuring.ts';
import { bar, type Terminal } from './terminal.ts';
import { trimBatchTable } from './trim-table.ts';
import { trimOne, virtualCutter } from './trimming.ts';
import { virtualMark } from './virtual-mark.ts';

export interface DemoTrim {
  readonly batch: string;
  readonly law: string;
  readonly seed: number;
  readonly size: number;
  readonly timeFactor: number;
  readonly reportPath: string;
}

const tool = { id: 'DEMO-MILL', kind: 'mill' } as const;

/** @returns null when it was interrupted */
export async function trimDemoBatch(
  client: CoreClient,
  terminal: Terminal,
  guard: InterruptGuard,
  demo: DemoTrim,
): Promise<TrimBatch | null> {
  const { batch, law, seed, size, timeFactor, reportPath } = demo;
  const { serials } = await client.call('virtual.start', {
    ...{ seed, size, lawId: law, finish: 'trimming', faultShare: 0, timeFactor },
  });
  // What an earlier demo learnt of its own virtual tool does not hold for this one.
  await client.call('trim.renewTool', { toolId: tool.id, toolKind: tool.kind, operator: 'KD', reason: 'new demo' });
  terminal.print(
    `${size} raw tracks of Tollgate Film Works are trimmed towards law ${law}, ${timeFactor} times faster than life.`,
  );
  const cutter = virtualCutter(client, tool.id);
  for (const [index, serial] of serials.entries()) {
    if (guard.interrupted()) return null;
    const request = { serial, operator: 'KD', lawId: law, batch, tool };
    const piece = await trimOne(client, request, terminal, { guard, cutter, prefix: `${index + 1} of ${size}  ` });
    if (!terminal.live) {
      const passes = piece.pass === 1 ? '1 pass' : `${piece.pass} passes`;
      terminal.print(
        `${bar((index + 1) / serials.length)} ${piece.serial}  ${piece.state}, ${passes}${virtualMark({ isVirtual: true })}`,
      );
    }
  }
  if (guard.interrupted()) return null;
  const view = await client.call('trim.batch', { batch });
  terminal.print(trimBatchTable(view, virtualMark({ isVirtual: true })));
  await client.call('trim.report', { batch, path: reportPath, title: `Trimming batch ${batch}` });
  terminal.print(`Report    ${reportPath}`);
  return view;
}
