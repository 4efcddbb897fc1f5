/** Typing goes into the scan field when nothing else has the focus: a slow scanner, or a person who just types. */
import { useEffect } from 'react';
import { wishForScanField } from './actions.ts';

export function useTyping(): void {
  useEffect(() => {
    const onKey = (event: KeyboardEvent): void => {
      const isText = event.key.length === 1 && event.key !== ' ' && !event.ctrlKey && !event.metaKey && !event.altKey;
      if (isText && event.target === document.body && document.querySelector('dialog[open]') === null) askForField();
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  }, []);
}

const askForField = (): void => wishForScanField.set((count) => count + 1);
