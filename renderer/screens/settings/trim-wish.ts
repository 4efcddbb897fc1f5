/** What is typed into the settings of trimming, and the settings that it makes. Pure. */
import type { TrimSettings } from '../../../src/contract/trim.ts';
import { readNumber } from '../rig/read-number.ts';

/** As typed. */
export interface TrimWish {
  readonly toolId: string;
  readonly passLimit: string;
  readonly settleS: string;
  readonly riskPercent: string;
}

export const trimWishOf = ({ toolId, passLimit, settleS, riskLimit }: TrimSettings): TrimWish => ({
  toolId,
  passLimit: String(passLimit),
  settleS: String(settleS),
  riskPercent: String(Math.round(riskLimit * 1e6) / 1e4),
});

type Limits = Pick<TrimSettings, 'toolId' | 'passLimit' | 'settleS' | 'riskLimit'>;

/** What is wrong with the wish and what to type instead; null = nothing. */
export function trimProblem({ toolId, passLimit, settleS, riskPercent }: TrimWish): string | null {
  if (toolId.trim() === '') return 'Give the tool a name, so that what is learnt of it has an owner.';
  const passes = readNumber(passLimit);
  if (passes === null || !Number.isInteger(passes) || passes < 1 || passes > 9)
    return 'Passes: type a whole number from 1 to 9.';
  const settle = readNumber(settleS);
  if (settle === null || settle < 0 || settle > 600) return 'Settling: type seconds from 0 to 600.';
  const risk = readNumber(riskPercent);
  if (risk === null || risk <= 0 || risk > 50) return 'Chance: type a number above 0, at most 50.';
  return null;
}

/** Null while something is wrong with the wish. */
export function trimSettingsFrom(wish: TrimWish): Limits | null {
  const [passLimit, settleS, risk] = [wish.passLimit, wish.settleS, wish.riskPercent].map(readNumber);
  if (trimProblem(wish) !== null || passLimit == null || settleS == null || risk == null) return null;
  return { toolId: wish.toolId.trim(), passLimit, settleS, riskLimit: risk / 100 };
}
