import { callCore } from '../../bridge/calls.ts';
import { type RigChoice, type VirtualWish, virtualBatch, virtualLawId } from './steps.ts';

/** Connects the chosen rig. @throws CoreError with what stands in the way */
export async function connectChosen(choice: RigChoice, { seed, timeFactor }: VirtualWish): Promise<void> {
  if (choice.kind === 'port') await callCore('rig.connect', { path: choice.path });
  else await callCore('virtual.start', { ...virtualBatch, seed, timeFactor, lawId: virtualLawId });
}
