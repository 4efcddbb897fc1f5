import { describe, expect, test } from 'vitest';
import {
  ParameterFileError,
  parametersFrom,
  readParameterFile,
} from '../../../firmware-protocol/virtual-rig/parameter-file.ts';
import { defaultParameters } from '../../../firmware-protocol/virtual-rig/parameters.ts';
import { parametersTable } from '../../../firmware-protocol/virtual-rig/parameters-table.ts';

describe('a parameter file', () => {
  test('replaces the numbers it names and leaves the rest', () => {
    const changed = parametersFrom('{"track": {"batchSd": 0.2}, "parts": {"PF-104": {"fingers": 4}}}', 'hard.json');
    expect(changed.track).toEqual({ ...defaultParameters.track, batchSd: 0.2 });
    expect(changed.parts['PF-104']).toMatchObject({ fingers: 4, travelMm: 104 });
    expect(changed.meter).toEqual(defaultParameters.meter);
  });

  test('the defaults pass their own checks', () => {
    expect(parametersFrom('{}', 'empty.json')).toEqual(defaultParameters);
    expect(parametersFrom(JSON.stringify(defaultParameters), 'all.json')).toEqual(defaultParameters);
  });

  test.each([
    ['not JSON', '{', /is not JSON/],
    ['a name that does not exist', '{"track": {"batchsd": 0.2}}', /track.*batchsd/],
    ['a text for a number', '{"meter": {"noiseUv": "loud"}}', /meter\.noiseUv/],
    ['a range the wrong way round', '{"wiper": {"playMm": [0.8, 0.2]}}', /wiper\.playMm/],
    ['a negative spread', '{"carriage": {"homeSdMm": -1}}', /carriage\.homeSdMm/],
  ])('with %s is refused, naming the place', (_what, text, reason) => {
    expect(() => parametersFrom(text, 'x.json')).toThrow(ParameterFileError);
    expect(() => parametersFrom(text, 'x.json')).toThrow(reason);
  });

  test('that is not there is refused by name', () => {
    expect(() => readParameterFile('/nowhere/at-all.json')).toThrow(/nowhere\/at-all\.json cannot be read/);
  });
});

describe('the table of parameters', () => {
  test('lists every number and marks what differs from the default', () => {
    const plain = parametersTable(defaultParameters);
    const row = (table: string): string => table.split('\n').find((line) => line.includes('batchSd')) ?? '';
    expect(row(plain)).toContain('0.12');
    expect(plain).not.toContain('*');
    expect(row(parametersTable(parametersFrom('{"track": {"batchSd": 0.2}}', 'x')))).toContain('*');
  });
});
