/** Takes a scan wherever the focus is; a field that the scanner typed into gets its old text back. */
import { useEffect, useRef } from 'react';
import { watchScans } from './scanner.ts';

interface TouchedField {
  readonly field: HTMLInputElement | HTMLTextAreaElement;
  readonly before: string;
}

export function useScanner(onScan: (text: string) => void): void {
  const latest = useRef(onScan);
  latest.current = onScan;
  useEffect(() => {
    const watch = watchScans();
    let touched: TouchedField | null = null;
    let lastMs = Number.NEGATIVE_INFINITY;
    const onKeyDown = (event: KeyboardEvent): void => {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      const field = event.target;
      const isField = field instanceof HTMLInputElement || field instanceof HTMLTextAreaElement;
      if (event.timeStamp - lastMs > 35) touched = isField ? { field, before: field.value } : null;
      lastMs = event.timeStamp;
      const scan = watch.onKey({ key: event.key, atMs: event.timeStamp });
      if (scan === null) return;
      event.preventDefault();
      event.stopPropagation();
      if (touched !== null) giveBack(touched);
      latest.current(scan);
    };
    window.addEventListener('keydown', onKeyDown, { capture: true });
    return () => window.removeEventListener('keydown', onKeyDown, { capture: true });
  }, []);
}

/** React follows a field through its own setter, so the old text goes back the way a person would type it. */
function giveBack({ field, before }: TouchedField): void {
  const prototype = field instanceof HTMLInputElement ? HTMLInputElement.prototype : HTMLTextAreaElement.prototype;
  Object.getOwnPropertyDescriptor(prototype, 'value')?.set?.call(field, before);
  field.dispatchEvent(new Event('input', { bubbles: true }));
}
