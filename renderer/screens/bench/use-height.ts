import { type RefObject, useEffect, useState } from 'react';

/** Height of an element in px, followed. 0 before the first look. */
export function useHeight(element: RefObject<HTMLElement | null>): number {
  const [heightPx, setHeightPx] = useState(0);
  useEffect(() => {
    if (element.current === null) return;
    const observer = new ResizeObserver(([entry]) => setHeightPx(Math.round(entry?.contentRect.height ?? 0)));
    observer.observe(element.current);
    return () => observer.disconnect();
  }, [element]);
  return heightPx;
}
