import { describe, expect, test } from 'vitest';
import { actionOf, type Trouble, withoutAction, withTrouble } from '../../../renderer/bridge/troubles.ts';

const trouble = (id: number, action: string | null, message = `Trouble ${id}.`): Trouble => ({
  id,
  action,
  error: { code: 'some.code', message, userFixable: true, details: [] },
});

describe('which action a success makes old news', () => {
  const usb = actionOf('rig.connect', { path: '/dev/ttyUSB0' });

  test('a rig that is connected, at whatever port, ends the trouble of one that was not', () => {
    const now = [trouble(1, usb), trouble(2, actionOf('rig.home', {}))];
    expect(withoutAction(now, actionOf('rig.connect', { path: '/dev/ttyACM1' })).map(({ id }) => id)).toEqual([2]);
    expect(withoutAction(now, actionOf('virtual.start', { seed: 1 })).map(({ id }) => id)).toEqual([2]);
  });

  test('one run that can be read says nothing about another that cannot', () => {
    const now = [trouble(1, actionOf('run.read', { runId: 'a' }))];
    expect(withoutAction(now, actionOf('run.read', { runId: 'b' }))).toBe(now);
    expect(withoutAction(now, actionOf('run.read', { runId: 'a' }))).toEqual([]);
  });

  test('what the station told by itself stays until it is put away', () => {
    const now = [trouble(1, null)];
    expect(withoutAction(now, usb)).toBe(now);
  });
});

describe('what is shown', () => {
  test('the same failure of the same action stands there once, as the newest', () => {
    const now = [trouble(1, 'a rig', 'No answer.'), trouble(2, 'a run')];
    expect(withTrouble(now, trouble(3, 'a rig', 'No answer.')).map(({ id }) => id)).toEqual([2, 3]);
  });

  test('another failure of the same action, and one that the station tells twice, are both shown', () => {
    expect(withTrouble([trouble(1, 'a rig', 'No answer.')], trouble(2, 'a rig', 'Refused.'))).toHaveLength(2);
    expect(withTrouble([trouble(1, null, 'Full disk.')], trouble(2, null, 'Full disk.'))).toHaveLength(2);
  });

  test('five at most, the newest ones', () => {
    const all = [1, 2, 3, 4, 5, 6, 7].reduce<readonly Trouble[]>((now, id) => withTrouble(now, trouble(id, null)), []);
    expect(all.map(({ id }) => id)).toEqual([3, 4, 5, 6, 7]);
  });
});
