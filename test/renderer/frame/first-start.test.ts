import { describe, expect, test } from 'vitest';
import { firstChoice, initialsOf, portName, seedOf } from '../../../renderer/frame/first-start/steps.ts';

const port = { path: '/dev/ttyUSB0', vendor: 'Adapter works', product: null, serial: null, problem: null };

describe('initials', () => {
  test('become capitals, any script, at most eight signs', () => {
    expect([initialsOf(' kt '), initialsOf('rmb2'), initialsOf('ÅØ')]).toEqual(['KT', 'RMB2', 'ÅØ']);
  });

  test('are refused when empty, too long or with signs between', () => {
    expect(['', '  ', 'K T', 'ABCDEFGHI', '<b>'].map(initialsOf)).toEqual([null, null, null, null, null]);
  });
});

describe('which rig is offered', () => {
  test('the only adapter that can be opened', () => {
    expect(firstChoice([port])).toEqual({ kind: 'port', path: '/dev/ttyUSB0' });
  });

  test('the virtual one when there is none, when it may not be opened, or when there are several', () => {
    const virtual = { kind: 'virtual' };
    expect(firstChoice([])).toEqual(virtual);
    expect(firstChoice([{ ...port, problem: 'You may not open it.' }])).toEqual(virtual);
    expect(firstChoice([port, { ...port, path: '/dev/ttyUSB1' }])).toEqual(virtual);
  });

  test('a bare port of the computer is not taken for a rig', () => {
    expect(firstChoice([{ ...port, path: '/dev/ttyS0', vendor: null }])).toEqual({ kind: 'virtual' });
  });

  test('a port without a maker says so', () => {
    expect(portName({ ...port, vendor: null })).toBe('no name given');
    expect(portName({ ...port, product: 'bridge', serial: 'A9' })).toBe('Adapter works, bridge, A9');
  });
});

test('a seed is a whole number from 0', () => {
  expect(['0', ' 48 ', '-1', '1.5', '', 'one', '9999999999'].map(seedOf)).toEqual([
    0,
    48,
    null,
    null,
    null,
    null,
    null,
  ]);
});
