import type { ReactElement } from 'react';
import type { Calibration } from '../../../../src/trust/calibration.ts';
import { dateText } from '../../../format/dates.ts';
import { sourceWord } from '../words.ts';

/** Every calibration of this rig, newest first; the first row is the active one. None is ever changed or removed. */
export function History({ calibrations }: { readonly calibrations: readonly Calibration[] }): ReactElement {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
    <section className="history" aria-label="Calibration history" tabIndex={0}>
      <table>
        <thead>
          <tr>
            <th scope="col">Made</th>
            <th scope="col">How</th>
            <th scope="col">By</th>
            <th scope="col">Due</th>
          </tr>
        </thead>
        <tbody>
          {calibrations.map(({ id, madeAt, source, madeBy, dueAt }, index) => (
            <tr key={id} aria-current={index === 0 ? 'true' : undefined}>
              <td>{dateText(madeAt)}</td>
              <td>{sourceWord(source)}</td>
              <td>{madeBy}</td>
              <td>{dateText(dueAt)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {calibrations.length === 0 && <p className="soft">No calibration of this rig yet: every result is void.</p>}
    </section>
  );
}
