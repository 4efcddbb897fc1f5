/** Which of the five screens is open; any screen may send the person to another. */
import { makeStore } from '../bridge/store.ts';
import type { ScreenId } from './screens.ts';

export const openScreenStore = makeStore<ScreenId>('bench');
export const openScreen = (id: ScreenId): void => openScreenStore.set(id);
