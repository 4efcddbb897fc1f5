import type { ReactElement } from 'react';

export function BenchScreen(): ReactElement {
  return <section aria-label="Bench" />;
}
