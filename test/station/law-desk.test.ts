import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeEach, describe, expect, it, onTestFinished } from 'vitest';
import type { Archive } from '../../src/archive/archive.ts';
import { openArchive } from '../../src/archive/open.ts';
import { exampleLaw, exampleLaws } from '../../src/law/examples.ts';
import { checkLawFile, findLaw, keptLaws, lawText, storeExamples, storeLaw } from '../../src/station/law-desk.ts';

let archive: Archive;
beforeEach(() => {
  const folder = mkdtempSync(join(tmpdir(), 'faderwright-laws-'));
  archive = openArchive(join(folder, 'bench.sqlite'), { programVersion: 'test', now: () => new Date() });
  const own = archive;
  onTestFinished(() => {
    own.close();
    rmSync(folder, { recursive: true, force: true });
  });
  storeExamples(archive);
});

const header = 'travel_mm,loss_db,minus_db,plus_db,travel_tol_mm,mark\n';

describe('the law library', () => {
  it('begins with the examples, and putting them in again changes nothing', () => {
    const names = (): string[] => keptLaws(archive).map(({ data }) => `${data.id}/${data.revision}`);
    const before = names();
    expect(before.toSorted()).toEqual(
      exampleLaws()
        .map(({ id, revision }) => `${id}/${revision}`)
        .toSorted(),
    );
    storeExamples(archive);
    expect(names()).toEqual(before);
  });

  it('gives the newest revision unless another is asked for', () => {
    const law = exampleLaw('PF-104');
    storeLaw(archive, { ...law, revision: 2, title: 'second' });
    storeLaw(archive, { ...law, revision: 3, title: 'third' });
    expect(findLaw(archive, 'PF-104', null)).toMatchObject({ revision: 3, title: 'third' });
    expect(findLaw(archive, 'PF-104', 1).title).toBe(law.title);
    expect(() => findLaw(archive, 'PF-104', 4)).toThrow(/no law PF-104 revision 4.*PF-104 revision 3/);
    expect(() => findLaw(archive, 'pf-104', null)).toThrow(/no law pf-104/);
  });

  it('never changes a revision that is kept', () => {
    const law = exampleLaw('GF-60');
    storeLaw(archive, law);
    expect(() => storeLaw(archive, { ...law, title: 'changed' })).toThrow(
      expect.objectContaining({ code: 'revisionFrozen', userFixable: true }),
    );
    expect(findLaw(archive, 'GF-60', 1).title).toBe(law.title);
  });
});

describe('a law file', () => {
  it('written out and read back is the same law, whole or as points on the same base', () => {
    for (const { id, revision } of exampleLaws()) {
      const whole = lawText(archive, id, revision, 'json');
      expect(checkLawFile(archive, 'whole.json', whole, null)).toEqual({
        kind: 'law',
        law: findLaw(archive, id, revision),
      });
      const points = lawText(archive, id, revision, 'csv');
      const next = checkLawFile(archive, 'points.csv', points, id);
      const { revision: nextRevision, ...rest } = next.kind === 'law' ? next.law : exampleLaw('PF-104');
      const { revision: _revision, ...base } = findLaw(archive, id, revision);
      expect(nextRevision).toBe(revision + 1);
      expect(rest).toEqual(base);
    }
  });

  it('of points alone is counted without a base, and becomes the next of the newest revision with one', () => {
    const text = `${header}4,60,3,any,,-60\n52,20,1,1,0.1,\n100,0.5,0.5,0.5,,+10\n60,,,,,0\n`.replace(
      /(100.*\n)(60.*\n)/,
      '$2$1',
    );
    expect(checkLawFile(archive, 'p.csv', text, null)).toEqual({ kind: 'points', points: 3, marks: 3 });
    storeLaw(archive, { ...exampleLaw('PF-104'), revision: 2 });
    const checked = checkLawFile(archive, 'p.csv', text, 'PF-104');
    expect(checked).toMatchObject({ kind: 'law', law: { id: 'PF-104', revision: 3, travelMm: 104 } });
    // Only looked at: nothing is kept until somebody says so.
    expect(() => findLaw(archive, 'PF-104', 3)).toThrow(/no law/);
  });

  it('that does not fit its base is refused with the reason', () => {
    const beyond = `${header}4,60,3,any,,\n130,0.5,0.5,0.5,,\n`;
    expect(() => checkLawFile(archive, 'p.csv', beyond, 'PF-104')).toThrow(
      expect.objectContaining({
        code: expect.stringMatching(/^law\.(invalid|file)$/),
        message: expect.stringMatching(/130 mm/),
      }),
    );
    expect(() => checkLawFile(archive, 'p.csv', beyond, 'XX')).toThrow(/no law XX.*Known laws: /);
    expect(() => checkLawFile(archive, 'p.xyz', 'hello', null)).toThrow(expect.objectContaining({ userFixable: true }));
  });
});
