import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { RunRecord } from '../../src/archive/records.ts';
import { nextSentence } from '../../src/report/next-sentence.ts';
import { programmeFader } from './sample-laws.ts';
import { sampleBatch, sampleRun } from './sample-runs.ts';

const serial = (n: number): string => `PF104-26-48-${String(n).padStart(5, '0')}`;
const level = (share: number): number[] => programmeFader.points.map((point) => share * point.minusDb);
/** Deviation of `share` of the tolerance at one point, small elsewhere. */
const bumpAt = (pointIndex: number, share: number): number[] =>
  programmeFader.points.map((point, index) => (index === pointIndex ? share : 0.1) * point.minusDb);
const pass = (n: number, more: Partial<RunRecord> = {}): RunRecord => sampleRun(serial(n), level(0.2), more);
const lost = (n: number): RunRecord =>
  sampleRun(serial(n), [], { outcome: 'void', verdict: 'void', verdictReason: 'the line was lost', checks: [] });
const say = (...runs: RunRecord[]): string => nextSentence(runs, programmeFader);

describe('the one sentence', () => {
  it('teaches when there is no run', () => {
    expect(say()).toMatch(/^Measure the first fader/);
  });

  it('delivers when every fader passes', () => {
    expect(say(pass(1), pass(2), pass(3))).toBe('Deliver all 3 faders: every one passes.');
  });

  it('does not send virtual faders anywhere', () => {
    const rig = { model: 'bench-1', serial: 'VR0001', firmware: '1', protocol: 1, isVirtual: true };
    expect(say(pass(1, { rig }), pass(2, { rig }))).toMatch(/virtual faders pass: connect a real rig/);
  });

  it('has doubts kept apart, by serial: they are not proved, and measuring again proves nothing', () => {
    const doubt = sampleRun(serial(9), bumpAt(20, 1.05));
    expect(doubt.verdict).toBe('doubt');
    expect(say(pass(1), doubt)).toBe('Keep the fader in doubt apart as not proved (PF104-26-48-00009).');
  });

  it('tells the track shop of a point where most rejects fail on the same side, with both means', () => {
    const runs = [1, 2, 3].map((n) => sampleRun(serial(n), bumpAt(15, 1.5 + n / 10)));
    // Tolerance 0.5 dB at 78 mm: the failed ones lie at 0.8, 0.85 and 0.9, the passing one at 0.1 dB.
    expect(say(...runs, pass(4))).toBe(
      'Tell the track shop that mark 0 at 78.0 mm is 0.85 dB too quiet on average in the 3 faders that fail there ' +
        '(limit +0.54 dB, mean of all 4 judged +0.66 dB) and set aside the 3 faders that failed.',
    );
  });

  it('finds a common cause that shows at neighbouring points, though each fader has another worst point', () => {
    const runs = [5, 6, 7].map((worst, n) => {
      const deviations = programmeFader.points.map((point, index) => {
        if (index < 5 || index > 7) return 0;
        return (index === worst ? 1.7 : 1.4) * point.minusDb;
      });
      return sampleRun(serial(n), deviations);
    });
    expect(new Set(runs.map((run) => run.worstPointIndex)).size).toBe(3);
    expect(say(...runs)).toMatch(/^Tell the track shop that .* in the 3 faders that fail there/);
  });

  it('only sets rejects aside when their causes differ', () => {
    const runs = [2, 9, 15, 19].map((point, n) => sampleRun(serial(n), bumpAt(point, n % 2 === 0 ? 1.6 : -1.6)));
    expect(say(...runs)).toMatch(/^Set aside the 4 faders that failed \(PF104-26-48-00000, .*\)\.$/);
  });

  it('names a check that most rejects fail, when the law is kept', () => {
    const runs = [12_600, 12_700, 12_800].map((ohm, n) => sampleRun(serial(n), level(0.2), {}, programmeFader, ohm));
    expect(say(...runs, pass(9))).toBe(
      'Tell the track shop that the track resistance is 12\u202f700 Ω on average in the 3 faders that fail there ' +
        '(allowed 8\u202f000 … 12\u202f000 Ω) and set aside the 3 faders that failed.',
    );
  });

  it('does not call two sides of one point one cause', () => {
    const runs = [1.6, -1.6, 1.6, -1.6].map((share, n) => sampleRun(serial(n), bumpAt(15, share)));
    expect(say(...runs)).toMatch(/^Set aside/);
  });

  it('mends the station first when many runs are void', () => {
    expect(say(lost(1), lost(2), lost(3), pass(4), sampleRun(serial(5), bumpAt(3, 2)))).toBe(
      'Mend the station first, because 3 of 5 faders came out void (most often: the line was lost), ' +
        'then measure the 3 void faders again (PF104-26-48-00001, PF104-26-48-00002 and PF104-26-48-00003).',
    );
    expect(say(lost(1))).toMatch(/^Mend the station first/);
  });

  it('measures a single void fader again without blaming the station', () => {
    const runs = Array.from({ length: 12 }, (_, n) => pass(n + 2));
    expect(say(lost(1), ...runs)).toBe('Measure the void fader again (PF104-26-48-00001).');
  });

  it('holds back a fader that failed before it passed', () => {
    const first = sampleRun(serial(1), bumpAt(8, 2), { runId: 'first', startedAt: '2026-11-25T08:00:00Z' });
    expect(say(pass(1), first, pass(2))).toMatch(/^Hold back PF104-26-48-00001 and find out why/);
  });

  it('is not talked out of a fail by a later void run', () => {
    const fail = sampleRun(serial(1), bumpAt(8, 2), { runId: 'first', startedAt: '2026-11-25T08:00:00Z' });
    expect(say(fail, lost(1), pass(2))).toMatch(/^Set aside the fader that failed/);
  });

  it('names at most five serials and says how many more there are', () => {
    const doubts = Array.from({ length: 8 }, (_, n) => sampleRun(serial(n), bumpAt(20, 1.05)));
    expect(say(...doubts)).toMatch(/PF104-26-48-00004 and 3 more\)\.$/);
  });

  it('leaves runs against another revision out', () => {
    expect(say(pass(1, { lawRevision: 2 }))).toMatch(/^Measure the first fader/);
  });

  it('is one sentence for any batch, whatever the order of the runs', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 40 }),
        fc.integer(),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (size, seed, faultShare) => {
          const runs = sampleBatch({ size, seed, faultShare, voidShare: 0.1 });
          const sentence = nextSentence(runs, programmeFader);
          expect(sentence).toMatch(/^[A-Z].*\.$/);
          expect(sentence.replace(/\d\.\d/g, '')).not.toMatch(/\.\s|undefined|NaN|null/);
          expect(nextSentence([...runs].reverse(), programmeFader)).toBe(sentence);
          if (runs.some((run) => run.verdict !== 'pass')) expect(sentence).not.toMatch(/Deliver/);
        },
      ),
      { numRuns: 60 },
    );
  });
});
