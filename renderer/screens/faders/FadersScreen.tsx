import type { ReactElement } from 'react';

export function FadersScreen(): ReactElement {
  return <section aria-label="Faders" />;
}
