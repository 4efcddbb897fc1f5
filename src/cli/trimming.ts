/** Trims one piece through the core: measure, cut, measure again, until it is in or at an end. */
import type { CoreClient } from '../contract/client.ts';
import type { TrimRequest } from '../contract/commands.ts';
import type { Cut, TrimPiece } from '../contract/trim.ts';
import { exitCodes } from './exit-codes.ts';
import { followRun, type InterruptGuard } from './measuring.ts';
import type { Terminal } from './terminal.ts';

/** Whoever makes the cuts that were asked for. */
export interface Cutter {
  /** @returns false = the piece is given up */
  make(piece: TrimPiece, cuts: readonly Cut[]): Promise<boolean>;
}

export interface TrimmingWith {
  readonly guard: InterruptGuard;
  readonly cutter: Cutter;
  readonly prefix?: string;
}

export async function trimOne(
  client: CoreClient,
  request: TrimRequest,
  terminal: Terminal,
  { guard, cutter, prefix = '' }: TrimmingWith,
): Promise<TrimPiece> {
  const { operator } = request;
  for (;;) {
    await settled(client, terminal, guard.signal);
    const piece = await measured(client, request, terminal, guard, prefix);
    if (guard.interrupted() || piece.state !== 'planned') return piece;
    const { serial } = piece;
    const asked = await client.call('trim.askCuts', { serial, operator });
    const goesOn = await cutter.make(asked, asked.plan?.cuts ?? []);
    // Interrupted in the middle of cutting, nobody has said that they are made: measuring will show.
    if (guard.interrupted()) return asked;
    if (!goesOn) return client.call('trim.end', { serial, operator, reason: 'Given up by the operator.' });
    await client.call('trim.cutsDone', { serial, operator, cuts: 'all' });
  }
}

async function measured(
  client: CoreClient,
  request: TrimRequest,
  terminal: Terminal,
  guard: InterruptGuard,
  prefix: string,
): Promise<TrimPiece> {
  const stopFollowing = followRun(client, request.serial, terminal, prefix);
  try {
    const { runId } = await client.call('trim.start', request);
    if (guard.interrupted()) await client.call('run.stop', {}).catch(() => {});
    return await client.call('trim.wait', { runId });
  } finally {
    stopFollowing();
  }
}

/** Dust falls and the film cools before it is measured. */
async function settled(client: CoreClient, terminal: Terminal, interrupted: AbortSignal): Promise<void> {
  const { trim } = await client.call('snapshot', {});
  const leftMs = trim?.settleLeftMs ?? 0;
  if (leftMs <= 0 || interrupted.aborted) return;
  terminal.tell(`Cooling: ${Math.ceil(leftMs / 1000)} s ...`);
  await new Promise<void>((resolve) => {
    const timer = setTimeout(goOn, leftMs);
    interrupted.addEventListener('abort', goOn, { once: true });
    function goOn(): void {
      clearTimeout(timer);
      interrupted.removeEventListener('abort', goOn);
      resolve();
    }
  });
}

/** The virtual tool, which cuts as it really cuts. */
export function virtualCutter(client: CoreClient, toolId: string): Cutter {
  return {
    async make(_piece, cuts) {
      await client.call('virtual.applyCuts', { cuts: [...cuts], toolId });
      return true;
    },
  };
}

export function cutText(cut: Cut): string {
  const place =
    cut.kind === 'shave' ? `${cut.fromMm.toFixed(1)} to ${cut.toMm.toFixed(1)} mm` : `at ${cut.atMm.toFixed(1)} mm`;
  return `${String(cut.number).padStart(3)}  ${cut.kind.padEnd(6)}  ${place.padEnd(18)}  ${cut.depthMm.toFixed(2)} mm deep  ${cut.side}`;
}

export function exitCodeOfPiece({ state }: Pick<TrimPiece, 'state'>): number {
  if (state === 'accepted') return exitCodes.done;
  // Not at an end: its last measurement said nothing.
  return state === 'ended' || state === 'hopeless' ? exitCodes.notPass : exitCodes.void;
}
