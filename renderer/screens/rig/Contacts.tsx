import type { ReactElement } from 'react';
import type { RigView } from '../../../src/contract/state.ts';
import { callCore } from '../../bridge/calls.ts';
import { attempt } from '../../bridge/station.ts';
import { closedContactShape, openContactShape, unknownContactShape } from '../../look/bench-shapes.ts';
import { ShapeFigure } from '../../look/ShapeFigure.tsx';

type Interlocks = NonNullable<RigView['interlocks']>;

interface ContactsProps {
  readonly interlocks: RigView['interlocks'];
  /** The virtual rig of this program has no guard to put a hand on: keys stand for the hand. Any other rig has its own. */
  readonly hasHands: boolean;
}

const contacts = [
  { key: 'guardClosed', name: 'Guard', holds: 'Closed', open: 'Open', close: 'Close it', unclose: 'Open it' },
  {
    key: 'emergencyStopReleased',
    name: 'Emergency stop',
    holds: 'Released',
    open: 'Pressed',
    close: 'Release it',
    unclose: 'Press it',
  },
  { key: 'clampClosed', name: 'Clamp', holds: 'Closed', open: 'Open', close: 'Close it', unclose: 'Open it' },
] as const;

export function Contacts({ interlocks, hasHands }: ContactsProps): ReactElement {
  const turn = (key: keyof Interlocks): void => {
    if (interlocks === null) return;
    void attempt(() => callCore('virtual.interlocks', { ...interlocks, [key]: !interlocks[key] }));
  };
  return (
    <ul className="contacts" aria-label="Interlocks">
      {contacts.map(({ key, name, holds, open, close, unclose }) => {
        const state = interlocks?.[key] ?? null;
        const shape = state === null ? unknownContactShape : state ? closedContactShape : openContactShape;
        return (
          <li key={key}>
            <ShapeFigure shape={shape} />
            <span>
              <small>{name}</small>
              <strong>{state === null ? 'Not known' : state ? holds : open}</strong>
            </span>
            {hasHands && (
              <button type="button" className="key" disabled={state === null} onClick={() => turn(key)}>
                {state === true ? unclose : close}
                <span className="unseen"> {name}, virtual</span>
              </button>
            )}
          </li>
        );
      })}
    </ul>
  );
}
