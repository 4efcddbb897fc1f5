/** Takes a scan wherever the focus is; a field that the scanner typed into gets its old content back. */
import { useEffect, useRef } from 'react';
import { watchScans } from './scanner.ts';

type Field = HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement;

interface TouchedField {
  readonly field: Field;
  readonly before: string;
}

const isField = (target: EventTarget | null): target is Field =>
  target instanceof HTMLInputElement ||
  target instanceof HTMLTextAreaElement ||
  // A list jumps to whatever is typed while it has the focus.
  target instanceof HTMLSelectElement;

export function useScanner(onScan: (text: string) => void): void {
  const latest = useRef(onScan);
  latest.current = onScan;
  useEffect(() => {
    const watch = watchScans();
    let touched: TouchedField | null = null;
    const onKeyDown = (event: KeyboardEvent): void => {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      const field = event.target;
      if (watch.begins(event.timeStamp)) touched = isField(field) ? { field, before: field.value } : null;
      const scan = watch.onKey({ key: event.key, atMs: event.timeStamp });
      if (scan === null) return;
      event.preventDefault();
      event.stopPropagation();
      if (touched !== null) giveBack(touched);
      releaseFocus();
      latest.current(scan);
    };
    window.addEventListener('keydown', onKeyDown, { capture: true });
    return () => window.removeEventListener('keydown', onKeyDown, { capture: true });
  }, []);
}

/** React follows a field through its own setter, so the old content goes back the way a person would put it in. */
function giveBack({ field, before }: TouchedField): void {
  if (field.value === before) return;
  const prototype = Object.getPrototypeOf(field) as object;
  Object.getOwnPropertyDescriptor(prototype, 'value')?.set?.call(field, before);
  field.dispatchEvent(new Event('input', { bubbles: true }));
  field.dispatchEvent(new Event('change', { bubbles: true }));
}

/** The pedal's next Enter means the scanned piece, not the key or link that happened to have the focus. */
function releaseFocus(): void {
  const focused = document.activeElement;
  if (focused instanceof HTMLElement && focused.closest('dialog') === null) focused.blur();
}
