import type { ReactElement } from 'react';

export function LawsScreen(): ReactElement {
  return <section aria-label="Laws" />;
}
