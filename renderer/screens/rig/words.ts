/** Rig facts as rows of name and words. Pure. */
import type { LinkStatistics, PortInfo } from '../../../src/contract/commands.ts';
import type { RigView, Snapshot } from '../../../src/contract/state.ts';

export interface Fact {
  readonly name: string;
  readonly value: string;
}

type Spell = (value: number | null | undefined, places: number) => string;

const dash = '\u2013';

export function identityFacts(identity: RigView['identity']): readonly Fact[] {
  if (identity === null) return [];
  return [
    { name: 'Serial', value: identity.serial },
    { name: 'Model', value: identity.model },
    { name: 'Firmware', value: identity.firmware },
    { name: 'Protocol', value: String(identity.protocol) },
  ];
}

/** What the rig says it can do, in the units a person thinks in; a limit that it does not report is a dash. */
export function limitFacts(limits: Readonly<Record<string, number>> | null, spell: Spell): readonly Fact[] {
  const mm = (name: string, places: number): string => spell(scaled(limits, name, 1000), places);
  return [
    { name: 'Travel', value: `${mm('travelMinUm', 1)} to ${mm('travelMaxUm', 1)} mm` },
    { name: 'Top speed', value: `${mm('speedMaxUmPerS', 0)} mm/s` },
    { name: 'Guard open', value: `at most ${mm('creepSpeedMaxUmPerS', 0)} mm/s` },
    { name: 'One step', value: `${spell(inverse(limits, 'stepsPerMm'), 2)} \u00b5m` },
    { name: 'Stops when silent', value: `after ${mm('watchdogUs', 0)} ms` },
  ];
}

const scaled = (limits: Readonly<Record<string, number>> | null, name: string, by: number): number | null => {
  const value = limits?.[name];
  return value === undefined ? null : value / by;
};

const inverse = (limits: Readonly<Record<string, number>> | null, name: string): number | null => {
  const value = limits?.[name];
  return value === undefined || value === 0 ? null : 1000 / value;
};

export function linkFacts(statistics: LinkStatistics | null, spell: Spell): readonly Fact[] {
  const count = (value: number | undefined): string => (value === undefined ? dash : String(value));
  return [
    { name: 'Lines sent', value: count(statistics?.linesSent) },
    { name: 'Received', value: count(statistics?.linesReceived) },
    { name: 'Spoilt', value: count(statistics?.badLines) },
    { name: 'Sent again', value: count(statistics?.retransmissions) },
    { name: 'Round trip', value: `${spell(statistics?.roundTripMedianMs, 2)} ms` },
    { name: '99 of 100 within', value: `${spell(statistics?.roundTripP99Ms, 2)} ms` },
  ];
}

export const portName = ({ vendor, product }: Pick<PortInfo, 'vendor' | 'product'>): string =>
  [vendor, product].filter((part) => part !== null && part !== '').join(' ') || 'Serial port';

/** Why nothing may be moved from this screen now, or null. */
export function motionRefusal(snapshot: Snapshot): string | null {
  const { rig, run } = snapshot;
  if (rig.state !== 'ready') return 'No rig is connected.';
  if (run !== null && run.state !== 'ended') return 'A fader is being measured: the carriage belongs to that run.';
  if (rig.interlocks === null) return 'The interlocks are not known: nothing moves without them.';
  if (!rig.interlocks.emergencyStopReleased) return 'The emergency stop is pressed: release it at the rig.';
  return null;
}

const sourceWords = { certificate: 'Certificate', gauges: 'At the bench', virtual: 'Virtual rig' } as const;
export const sourceWord = (source: keyof typeof sourceWords): string => sourceWords[source];
