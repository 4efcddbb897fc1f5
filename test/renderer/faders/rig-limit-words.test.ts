import { expect, test } from 'vitest';
import { limitRow } from '../../../renderer/screens/faders/rig-limit-words.ts';

const spell = (value: number, places: number): string => value.toFixed(places);

test('what the rig reported is told in words and in units of the bench', () => {
  expect(limitRow('travelMaxUm', 114_000, spell)).toEqual({ name: 'Travel to', value: '114.0 mm' });
  expect(limitRow('dampingPermille', 35, spell)).toEqual({ name: 'Damping', value: '3.5 %' });
  expect(limitRow('conversionsMax', 64, spell)).toEqual({ name: 'Conversions at once', value: '64' });
});

test('a limit of a newer rig keeps its own name and number', () => {
  expect(limitRow('bananaCount', 3, spell)).toEqual({ name: 'bananaCount', value: '3' });
});
