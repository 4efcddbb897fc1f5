import type { ReactElement, ReactNode } from 'react';

interface ScrollAreaProps {
  readonly className: string;
  /** What is in it, for those who hear the screen. */
  readonly label: string;
  readonly children: ReactNode;
}

/** Holds more to read than it shows; arrow keys scroll it once it has the focus. */
export function ScrollArea({ className, label, children }: ScrollAreaProps): ReactElement {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
    <section className={className} aria-label={label} tabIndex={0}>
      {children}
    </section>
  );
}
