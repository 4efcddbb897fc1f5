import { describe, expect, it } from 'vitest';
import { verdictTable } from '../../src/report/verdict-table.ts';
import { programmeFader } from './sample-laws.ts';
import { sampleBatch, sampleRun } from './sample-runs.ts';

const batch = sampleBatch({ size: 24, seed: 7, faultShare: 0.3, voidShare: 0.1 });
const level = (share: number): number[] => programmeFader.points.map((point) => share * point.minusDb);
const escapeCharacter = String.fromCharCode(27);

describe('verdict table', () => {
  it('has a line for each fader with its word and shape', () => {
    const lines = verdictTable(batch, programmeFader).split('\n');
    for (const { serial, verdict } of batch) {
      const line = lines.find((candidate) => candidate.startsWith(serial)) ?? '';
      expect(line).toMatch(new RegExp(`[●◐■◌] ${verdict}`));
    }
    expect(lines.at(-1)).toMatch(/^24 faders: {2}● \d+ pass {3}◐ \d+ doubt {3}■ \d+ fail {3}◌ \d+ void$/);
  });

  it('shows the recorded worst deviation, limit and resistance', () => {
    const table = verdictTable(
      [sampleRun('PF104-26-48-00017', level(1.8), {}, programmeFader, 10_120)],
      programmeFader,
    );
    expect(table).toMatch(/■ fail .*\+3\.60 +\+2\.08 +0\.04 +10\u202f120 +92\.3/);
  });

  it('fits 100 columns even with serials and reasons that are too long', () => {
    const long = sampleRun('S'.repeat(300), level(0.2));
    const broken = sampleRun('PF104-26-48-00018', [], { verdict: 'void', verdictReason: 'r'.repeat(300), checks: [] });
    for (const line of verdictTable([...batch, long, broken], programmeFader).split('\n')) {
      expect([...line].length).toBeLessThanOrEqual(100);
    }
  });

  it('colours only when asked, and loses nothing without', () => {
    const plain = verdictTable(batch, programmeFader);
    const coloured = verdictTable(batch, programmeFader, { colour: true });
    expect(plain).not.toContain(escapeCharacter);
    expect(coloured).toContain(escapeCharacter);
    expect(coloured.replaceAll(new RegExp(`${escapeCharacter}\\[\\d+m`, 'g'), '')).toBe(plain);
  });

  it('does not let a serial number steer the terminal', () => {
    const table = verdictTable([sampleRun(`${escapeCharacter}[2Jevil\r\nline`, level(0.2))], programmeFader);
    expect(table).not.toContain(escapeCharacter);
    expect(table.split('\n')).toHaveLength(5);
  });

  it('gives a void run its reason in place of numbers that may not be used', () => {
    const gap = sampleRun(
      'PF104-26-48-00019',
      level(0.2).map((value, index) => (index === 2 ? null : value)),
    );
    expect(verdictTable([gap], programmeFader)).toMatch(/◌ void +not every law point was measured +10/);
  });

  it.each([
    ['play', /■ fail +play, mm +0\.323 +0\.250 +0\.012 +10/],
    ['totalResistance', /■ fail +total resistance, Ω +8\u202f100 +8\u202f500 +20 +8\u202f100/],
    ['closedLoss', /■ fail +closed loss +61\.20 +85\.00 +0\.60 +10/],
  ] as const)('quotes the check that bears the verdict where every point passes: %s', (name, says) => {
    const values = {
      play: { value: 0.323, lower: null, upper: 0.25, uncertainty: 0.012 },
      totalResistance: { value: 8_100, lower: 8_500, upper: 11_500, uncertainty: 20 },
      closedLoss: { value: 61.2, lower: 85, upper: null, uncertainty: 0.6 },
    };
    const good = sampleRun('PF104-26-48-00017', level(0.2));
    const checks = good.checks.map((check) =>
      check.name === name ? { ...check, ...values[name], zone: 'fail' as const } : check,
    );
    expect(verdictTable([{ ...good, checks, verdict: 'fail' }], programmeFader)).toMatch(says);
  });

  it('marks faders of a virtual rig, all or some of them', () => {
    const real = sampleRun('PF104-26-48-00001', level(0.2));
    const virtual = sampleRun('PF104-26-48-00002', level(0.2), { rig: real.rig && { ...real.rig, isVirtual: true } });
    expect(verdictTable([real], programmeFader)).not.toMatch(/virtual/);
    expect(verdictTable([virtual], programmeFader)).toMatch(/void {3}\[virtual rig\]$/);
    expect(verdictTable([real, virtual], programmeFader)).toMatch(/void {3}\[1 on a virtual rig\]$/);
  });

  it('says so when there is nothing', () => {
    expect(verdictTable([], programmeFader)).toBe('No fader has been measured yet.');
  });
});
