/** What is typed into the virtual rig's form, and the request that it makes. Pure. */
import type { VirtualRequest } from '../../../src/contract/commands.ts';
import { readNumber } from './read-number.ts';

export interface VirtualWish {
  readonly lawId: string;
  readonly seed: string;
  readonly size: string;
  readonly faultPercent: string;
  readonly timeFactor: string;
  readonly finish: VirtualRequest['finish'];
}

export const virtualWish: VirtualWish = {
  lawId: '',
  seed: '1',
  size: '24',
  faultPercent: '10',
  timeFactor: '1',
  finish: 'delivered',
};

export interface VirtualField {
  readonly key: 'seed' | 'size' | 'faultPercent' | 'timeFactor';
  readonly name: string;
  readonly note: string;
  readonly least: number;
  readonly most: number;
  readonly isWhole: boolean;
}

export const virtualFields: readonly VirtualField[] = [
  {
    key: 'seed',
    name: 'Seed',
    note: 'The same seed makes the same faders',
    least: 0,
    most: 4_294_967_295,
    isWhole: true,
  },
  { key: 'size', name: 'Faders in the batch', note: '1 to 100000', least: 1, most: 100_000, isWhole: true },
  {
    key: 'faultPercent',
    name: 'With a fault, %',
    note: 'Share that gets a seeded fault',
    least: 0,
    most: 100,
    isWhole: false,
  },
  {
    key: 'timeFactor',
    name: 'Times as fast',
    note: '1 = as a real rig, at most 1000',
    least: 0.01,
    most: 1_000,
    isWhole: false,
  },
];

/** Per field, what is wrong with it and what to type instead. */
export function virtualProblems(wish: VirtualWish): Readonly<Partial<Record<VirtualField['key'], string>>> {
  const problems: Partial<Record<VirtualField['key'], string>> = {};
  for (const { key, least, most, isWhole } of virtualFields) {
    const value = readNumber(wish[key]);
    if (value === null || value < least || value > most || (isWhole && !Number.isInteger(value)))
      problems[key] = `Type a ${isWhole ? 'whole ' : ''}number from ${least} to ${most}.`;
  }
  return problems;
}

/** Null while something is wrong with the wish. */
export function virtualRequestFrom(wish: VirtualWish): VirtualRequest | null {
  if (wish.lawId === '' || Object.keys(virtualProblems(wish)).length > 0) return null;
  const [seed, size, percent, timeFactor] = virtualFields.map(({ key }) => readNumber(wish[key]));
  if (seed == null || size == null || percent == null || timeFactor == null) return null;
  return { lawId: wish.lawId, seed, size, faultShare: percent / 100, timeFactor, finish: wish.finish };
}
