import type { ReactElement } from 'react';
import type { LawData } from '../../../../src/law/law.ts';
import { SerialText } from '../SerialText.tsx';
import { PaneChoice } from './PaneChoice.tsx';

interface PaneHeadProps {
  readonly serial: string;
  readonly law: LawData | null;
  readonly note: string;
}

/** Whose track it is, and the choice between this piece and its batch. */
export function PaneHead({ serial, law, note }: PaneHeadProps): ReactElement {
  return (
    <header>
      <div>
        <h2 className="value">
          <SerialText serial={serial} />
        </h2>
        <p className="soft">
          {law === null ? 'no law chosen' : `${law.id} revision ${law.revision}`}, {note}
        </p>
      </div>
      <PaneChoice />
    </header>
  );
}
