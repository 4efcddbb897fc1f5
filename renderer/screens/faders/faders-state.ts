/** What the Faders screen shows; kept while other screens are open. */
import { makeStore } from '../../bridge/store.ts';
import { emptyForm, type FindForm } from './find-form.ts';

export const findForm = makeStore<FindForm>(emptyForm);
/** The run opened at the right. */
export const openRunId = makeStore<string | null>(null);

export const recordTabs = ['Deviation', 'Why', 'Readings', 'Raw', 'Ends', 'Record'] as const;
export type RecordTab = (typeof recordTabs)[number];
export const openTab = makeStore<RecordTab>('Deviation');
