import type { ReactElement } from 'react';
import type { ScreenId } from './screens.ts';

export function FirstStart(_props: { readonly onOpen: (screen: ScreenId) => void }): ReactElement | null {
  return null;
}
