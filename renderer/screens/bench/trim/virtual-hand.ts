/** The virtual rig's own hand: it cuts at one place, steadily deeper, until it is told to take the tool away. */
import type { Cut } from '../../../../src/contract/trim.ts';
import { callCore } from '../../../bridge/calls.ts';
import { handStore } from './trim-state.ts';

/** The planned depth would take it this long, s: time to see the bar move and to react. */
const cutTakesS = 10;
const leastMmPerS = 0.005;
/** A plunge is as long as the virtual blade is thick. */
const bladeMm = 0.25;

export async function startHand(cut: Cut, toolId: string): Promise<void> {
  const { cellIndex, side, depthMm } = cut;
  const [fromMm, toMm] =
    cut.kind === 'shave' ? [cut.fromMm, cut.toMm] : [cut.atMm - bladeMm / 2, cut.atMm + bladeMm / 2];
  const depthMmPerS = Math.max(leastMmPerS, depthMm / cutTakesS);
  await callCore('virtual.cutLive', { cut: { cellIndex, side, fromMm, toMm, depthMmPerS, toolId } });
  handStore.set(true);
}

export async function endHand(): Promise<void> {
  if (!handStore.get()) return;
  await callCore('virtual.cutLive', { cut: null });
  handStore.set(false);
}
