import type { WireLimits } from '../codec/limits.ts';
import type { WireLine } from '../codec/line.ts';
import type { RefusalCode } from '../codec/refusals.ts';
import { checkOrder, wordSpec } from '../codec/words.ts';
import type { RigState } from './rig-state.ts';

export interface OrderRefusal {
  readonly code: RefusalCode;
  readonly at?: string;
}

/** All reasons against an order before anything is done, in the protocol's order; null = go. */
export function refuseOrder(line: WireLine, limits: WireLimits, state: RigState): OrderRefusal | null {
  const byTable = checkOrder(line);
  if (byTable) return byTable;
  const at = outsideLimits(line, limits);
  if (at !== null) return { code: 'range', at };
  const word = line.word ?? '';
  const spec = wordSpec('order', word);
  if (spec?.moves) {
    const code = state.refusalOfMotion(word);
    if (code) return { code };
    const x = line.fields.x;
    if (x !== undefined && (x < limits.travelMinUm || x > limits.travelMaxUm)) return { code: 'travel' };
  }
  if (word === 'power' && line.fields.on === 1 && !state.emergencyStopReleased) return { code: 'estop' };
  return null;
}

function outsideLimits(line: WireLine, limits: WireLimits): string | null {
  const speedMax = line.word === 'creep' ? limits.creepSpeedMaxUmPerS : limits.speedMaxUmPerS;
  const bounds: readonly (readonly [string, number, number])[] = [
    ['v', 1, line.word === 'hello' ? Number.POSITIVE_INFINITY : speedMax],
    ['a', 1, limits.accelMaxMmPerS2],
    ['j', 0, limits.jerkMaxMmPerS3],
    ['t', limits.integrationMinUs, limits.integrationMaxUs],
    ['n', 1, limits.conversionsMax],
    ['e', limits.samplePeriodMinUs, Number.POSITIVE_INFINITY],
  ];
  for (const [key, min, max] of bounds) {
    const value = line.fields[key];
    if (value !== undefined && (value < min || value > max)) return key;
  }
  return null;
}
