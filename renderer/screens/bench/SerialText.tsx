import type { ReactElement } from 'react';
import { serialParts } from './job-slip.ts';

/** A serial: what the whole batch shares steps back, the piece's own number steps forward. */
export function SerialText({ serial }: { readonly serial: string }): ReactElement {
  const { shared, own } = serialParts(serial);
  return (
    <span className="serial">
      <span className="shared">{shared}</span>
      <span className="own">{own}</span>
    </span>
  );
}
