/** The guided first start: what was filled in, and what is still wrong with it. Pure. */
import type { PortInfo } from '../../../src/contract/commands.ts';

export const steps = ['who', 'rig', 'cautions'] as const;
export type StepName = (typeof steps)[number];

export type RigChoice = { readonly kind: 'virtual' } | { readonly kind: 'port'; readonly path: string };

export interface RigWish {
  /** Null until the ports were looked at. */
  readonly choice: RigChoice | null;
  /** As typed. */
  readonly seed: string;
  readonly timeFactor: number;
}

export interface VirtualWish {
  readonly seed: number;
  /** 1 = as fast as a real rig. */
  readonly timeFactor: number;
}

export const virtualBatch = { size: 24, finish: 'delivered', faultShare: 0.25 } as const;
/** The law of the virtual batch: the programme fader, when the library has it. */
export const virtualLawId = 'PF-104';

/** Initials as the archive keeps them: 1 to 8 letters or digits, in capitals. @returns null when they are none. */
export function initialsOf(text: string): string | null {
  const clean = text.trim().toUpperCase();
  return /^[\p{L}\p{N}]{1,8}$/u.test(clean) ? clean : null;
}

/** @returns null when the text is no seed: a whole number from 0 */
export function seedOf(text: string): number | null {
  const clean = text.trim();
  if (!/^\d{1,9}$/.test(clean)) return null;
  return Number(clean);
}

/** What is chosen before anybody chose: the only adapter that can be opened, else the virtual rig. Bare ports have no maker. */
export function firstChoice(ports: readonly PortInfo[]): RigChoice {
  const open = ports.filter(({ problem, vendor, product }) => problem === null && (vendor ?? product) !== null);
  const only = open.length === 1 ? open[0] : undefined;
  return only === undefined ? { kind: 'virtual' } : { kind: 'port', path: only.path };
}

/** What a port is, in the words its maker gave it. */
export function portName({ vendor, product, serial }: PortInfo): string {
  const words = [vendor, product, serial].filter((word) => word !== null && word !== '');
  return words.length === 0 ? 'no name given' : words.join(', ');
}
