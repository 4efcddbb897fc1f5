/** What the station found about itself, as text to send. Pure. */
import type { DoctorLine } from '../../../src/contract/commands.ts';

export function doctorReport(lines: readonly DoctorLine[], programVersion: string): string {
  return [
    `Faderwright ${programVersion}`,
    ...lines.map(
      ({ subject, state, text, remedy }) => `${state}\t${subject}: ${text}${remedy === null ? '' : ` (${remedy})`}`,
    ),
  ].join('\n');
}
