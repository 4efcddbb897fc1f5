import type { RunSummary } from '../contract/records.ts';

/** Behind every result of a virtual rig, so that none is ever taken for a real fader's. */
export const virtualMark = ({ isVirtual }: Pick<RunSummary, 'isVirtual'>): string =>
  isVirtual ? '  [virtual rig]' : '';
