import type { ReactElement } from 'react';
import { stopNote } from '../Keys.tsx';

/** What can hurt while cutting. It stands on every screen that asks for a cut. */
export const cuttingCautions =
  'Eye protection and dust protection on, extraction running, no air blast: the dust conducts. A blade slips: cut away from the hand. Local codes and qualified persons decide.';

export function CutCautions(): ReactElement {
  return (
    <div className="cut-cautions" role="note">
      <p>
        <strong>Eyes, dust, blade.</strong> {cuttingCautions}
      </p>
      <p className="soft">{stopNote}</p>
    </div>
  );
}
