import type { ReactElement } from 'react';
import type { RigView } from '../../src/contract/state.ts';
import { dateText } from '../format/dates.ts';
import { closedContactShape, openContactShape, unknownContactShape } from '../look/bench-shapes.ts';
import { ShapeFigure } from '../look/ShapeFigure.tsx';
import { stateShapes } from '../screens/bench/state-shapes.ts';

interface ContactProps {
  readonly name: string;
  /** Null = no fresh reading. */
  readonly holds: boolean | null;
  readonly holdsWord: string;
  readonly openWord: string;
}

function Contact({ name, holds, holdsWord, openWord }: ContactProps): ReactElement {
  const shape = holds === null ? unknownContactShape : holds ? closedContactShape : openContactShape;
  return (
    <div>
      <ShapeFigure shape={shape} />
      <span>
        <small>{name}</small>
        <strong>{holds === null ? 'Not known' : holds ? holdsWord : openWord}</strong>
      </span>
    </div>
  );
}

const lineWords = {
  absent: 'No rig',
  connecting: 'Connecting',
  ready: 'Connected',
  lost: 'Line lost',
  refused: 'Refused',
} as const;

/** What must hold before anything moves, and how long the station may be trusted. It never changes its place. */
export function Foot({ rig }: { readonly rig: RigView | null }): ReactElement {
  const locks = rig?.state === 'ready' ? rig.interlocks : null;
  const trusted = rig?.calibrationState === 'valid';
  // An older verdict on the Bench may hide the word: here it stands whatever is shown.
  const isDoubted = rig?.state === 'ready' && !trusted && rig.calibrationState !== null;
  return (
    <footer className="foot">
      <Contact name="Guard" holds={locks?.guardClosed ?? null} holdsWord="Closed" openWord="Open" />
      <Contact
        name="Emergency stop"
        holds={locks?.emergencyStopReleased ?? null}
        holdsWord="Released"
        openWord="Pressed"
      />
      <Contact name="Clamp" holds={locks?.clampClosed ?? null} holdsWord="Closed" openWord="Open" />
      <Contact
        name="Line"
        holds={rig === null ? null : rig.state === 'ready'}
        holdsWord={rig?.identity?.serial ?? 'Connected'}
        openWord={lineWords[rig?.state ?? 'absent']}
      />
      <div>
        {isDoubted && <ShapeFigure shape={stateShapes.notTrusted} />}
        <span>
          <small>{trusted ? 'Trusted until' : isDoubted ? 'Not trusted' : 'Calibration'}</small>
          <strong>
            {trusted && rig?.calibrationDueAt != null
              ? dateText(rig.calibrationDueAt)
              : rig?.calibrationState === 'overdue'
                ? 'Overdue: results are void'
                : rig?.calibrationState == null
                  ? 'Not known'
                  : 'None: results are void'}
          </strong>
        </span>
      </div>
    </footer>
  );
}
