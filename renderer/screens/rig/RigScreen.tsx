import type { ReactElement } from 'react';

export function RigScreen(): ReactElement {
  return <section aria-label="Rig" />;
}
