import { type KeyboardEvent, type PointerEvent, type ReactElement, useRef, useState } from 'react';
import { closingMark, openingMark } from '../../look/bench-shapes.ts';
import type { HoldEvent, HoldState, JogDirection } from './hold-to-run.ts';

interface JogKeysProps {
  readonly state: HoldState;
  readonly send: (event: HoldEvent) => void;
  readonly isAllowed: boolean;
}

/** The two keys that move the carriage while they are held: finger, mouse, space bar, or the arrow keys on either. */
export function JogKeys({ state, send, isAllowed }: JogKeysProps): ReactElement {
  const [heldKey, setHeldKey] = useState<string | null>(null);
  const pointer = useRef<number | null>(null);

  const directionOf = (key: string, own: JogDirection): JogDirection | null =>
    key === 'ArrowUp' ? 'opening' : key === 'ArrowDown' ? 'closing' : key === ' ' ? own : null;

  const onKeyDown = (own: JogDirection) => (event: KeyboardEvent) => {
    const direction = directionOf(event.key, own);
    // Enter comes from scanners and pedals too, which do not hold: it never moves anything.
    if (direction === null) {
      if (event.key === 'Enter') event.preventDefault();
      return;
    }
    event.preventDefault();
    if (event.repeat || !isAllowed) return;
    setHeldKey(event.key);
    send({ kind: 'press', direction });
  };
  const onKeyUp = (event: KeyboardEvent): void => {
    if (directionOf(event.key, 'opening') === null) return;
    event.preventDefault();
    if (event.key !== heldKey) return;
    setHeldKey(null);
    send({ kind: 'release' });
  };
  const onPointerDown = (direction: JogDirection) => (event: PointerEvent<HTMLButtonElement>) => {
    if (event.button !== 0 || !isAllowed) return;
    // A touch would stay bound to the key even when the finger has slid off it.
    if (event.currentTarget.hasPointerCapture(event.pointerId))
      event.currentTarget.releasePointerCapture(event.pointerId);
    pointer.current = event.pointerId;
    send({ kind: 'press', direction });
  };
  const onPointerGone = (event: PointerEvent): void => {
    if (event.pointerId !== pointer.current) return;
    pointer.current = null;
    send({ kind: 'release' });
  };
  const onLost = (): void => {
    setHeldKey(null);
    pointer.current = null;
    send({ kind: 'lost' });
  };

  const jogKey = (direction: JogDirection, word: string, mark: string): ReactElement => (
    <button
      type="button"
      className="key main jog"
      aria-pressed={state.phase === 'creeping' && state.direction === direction}
      aria-disabled={!isAllowed}
      onKeyDown={onKeyDown(direction)}
      onKeyUp={onKeyUp}
      onPointerDown={onPointerDown(direction)}
      onPointerUp={onPointerGone}
      onPointerCancel={onPointerGone}
      onPointerLeave={onPointerGone}
      onBlur={onLost}
      onContextMenu={(event) => event.preventDefault()}
    >
      {word}
      <svg viewBox="-8 -8 16 16" aria-hidden="true">
        <path d={mark} />
      </svg>
    </button>
  );

  return (
    <fieldset className="jog-keys" aria-label="Jog: hold a key down">
      {jogKey('opening', 'Opening', openingMark)}
      {jogKey('closing', 'Closing', closingMark)}
    </fieldset>
  );
}
