/** Resolves with null when the signal fires; `forget` ends the waiting without leaving a listener behind. */
export function whenAborted(signal: AbortSignal | undefined): { happened: Promise<null>; forget: () => void } {
  let forget = (): void => {};
  const happened = new Promise<null>((resolve) => {
    if (signal === undefined) return;
    const listener = (): void => resolve(null);
    if (signal.aborted) listener();
    signal.addEventListener('abort', listener, { once: true });
    forget = () => signal.removeEventListener('abort', listener);
  });
  return { happened, forget };
}
