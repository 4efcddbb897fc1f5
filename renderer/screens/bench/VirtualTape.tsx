import type { ReactElement } from 'react';

/** Belongs to the result, also when the rig that gave it has gone. */
export const VirtualTape = (): ReactElement => (
  <strong className="tape of-result">
    <span>Virtual rig: this was no real fader</span>
  </strong>
);
