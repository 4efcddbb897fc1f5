import { useEffect } from 'react';

/** Puts the theme on the root element; the system's own choice is followed while nothing else is chosen. */
export function useTheme(theme: 'system' | 'light' | 'dark'): void {
  useEffect(() => {
    const dark = matchMedia('(prefers-color-scheme: dark)');
    const apply = (): void => {
      document.documentElement.dataset.theme = theme === 'system' ? (dark.matches ? 'dark' : 'light') : theme;
    };
    apply();
    dark.addEventListener('change', apply);
    return () => dark.removeEventListener('change', apply);
  }, [theme]);
}
