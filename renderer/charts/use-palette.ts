/** The palette of the theme in force; changes when the theme or the screen size class does. */
import { useEffect, useState } from 'react';
import { type ChartPalette, readPalette } from './palette.ts';

const queries = ['(prefers-color-scheme: dark)', '(min-width: 1680px) and (min-height: 960px)'];

export function usePalette(): ChartPalette {
  const [palette, setPalette] = useState(readPalette);
  useEffect(() => {
    const reread = (): void => setPalette(readPalette());
    const lists = queries.map((query) => matchMedia(query));
    for (const list of lists) list.addEventListener('change', reread);
    const observer = new MutationObserver(reread);
    observer.observe(document.documentElement, { attributes: true, attributeFilter: ['data-theme'] });
    return () => {
      for (const list of lists) list.removeEventListener('change', reread);
      observer.disconnect();
    };
  }, []);
  return palette;
}
