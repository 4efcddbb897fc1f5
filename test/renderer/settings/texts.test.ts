import { expect, test } from 'vitest';
import { doctorReport } from '../../../renderer/screens/settings/doctor-report.ts';
import { sizeText } from '../../../renderer/screens/settings/sizes.ts';

test('what the station found about itself can be sent as text, remedies included', () => {
  const lines = [
    { subject: 'Database', state: 'good', text: 'It opens.', remedy: null },
    { subject: 'Ports', state: 'attention', text: 'One may not be opened.', remedy: 'Join the group dialout' },
  ] as const;
  expect(doctorReport(lines, '0.1.0')).toBe(
    'Faderwright 0.1.0\ngood\tDatabase: It opens.\nattention\tPorts: One may not be opened. (Join the group dialout)',
  );
});

test('sizes keep to units that say something', () => {
  expect([812, 4_100, 48_200_000, 3_140_000_000].map(sizeText)).toEqual(['812 bytes', '4.1 kB', '48.2 MB', '3.14 GB']);
});
