/** Enter, and with it the foot pedal, presses the violet key wherever the focus is. */
import { useEffect, useRef } from 'react';

/** Places where Enter has a meaning of its own. */
const ownEnter = 'button, a, select, textarea, dialog, [contenteditable]';

export function useEnter(onEnter: () => void): void {
  const latest = useRef(onEnter);
  latest.current = onEnter;
  useEffect(() => {
    const onKey = (event: KeyboardEvent): void => {
      if (event.key !== 'Enter' || event.repeat || event.defaultPrevented) return;
      if (event.ctrlKey || event.metaKey || event.altKey || event.isComposing) return;
      if (event.target instanceof Element && event.target.closest(ownEnter) !== null) return;
      event.preventDefault();
      latest.current();
    };
    // After a click the focus would stay on a key or a screen's name, and the pedal would press that one again.
    const onClick = (event: MouseEvent): void => {
      const key = event.target instanceof Element ? event.target.closest<HTMLElement>('button, a') : null;
      if (event.detail > 0 && key !== null && key.closest('dialog') === null) key.blur();
    };
    window.addEventListener('keydown', onKey);
    window.addEventListener('click', onClick);
    return () => {
      window.removeEventListener('keydown', onKey);
      window.removeEventListener('click', onClick);
    };
  }, []);
}
