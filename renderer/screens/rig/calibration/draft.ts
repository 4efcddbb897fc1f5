/** A calibration being made: what is asked for, what is taken so far, and which step comes next. Pure. */
import type { DividerReading } from '../../../../src/contract/commands.ts';
import type { GaugeMark } from '../../../../src/trust/make-calibration.ts';

export type CalibrationPlan = 'position' | 'meter' | 'both';
export type DividerLoss = DividerReading['nominalLossDb'];
export type CalibrationStep =
  | { readonly kind: 'gauge'; readonly index: 0 | 1 }
  | { readonly kind: 'divider'; readonly lossDb: DividerLoss }
  | { readonly kind: 'result' };

export interface CalibrationDraft {
  readonly plan: CalibrationPlan;
  readonly gauges: readonly [GaugeMark | null, GaugeMark | null];
  readonly dividers: readonly DividerReading[];
}

const gaugeSteps: readonly CalibrationStep[] = [
  { kind: 'gauge', index: 0 },
  { kind: 'gauge', index: 1 },
];
const dividerSteps: readonly CalibrationStep[] = [20, 40, 60].map((lossDb) => ({
  kind: 'divider',
  lossDb: lossDb as DividerLoss,
}));

export const newDraft = (plan: CalibrationPlan): CalibrationDraft => ({ plan, gauges: [null, null], dividers: [] });

export const stepsOf = (plan: CalibrationPlan): readonly CalibrationStep[] => [
  ...(plan === 'meter' ? [] : gaugeSteps),
  ...(plan === 'position' ? [] : dividerSteps),
  { kind: 'result' },
];

/** Whether this step was taken; the result never is. */
export const isTaken = (draft: CalibrationDraft, step: CalibrationStep): boolean =>
  step.kind === 'gauge'
    ? draft.gauges[step.index] !== null
    : step.kind === 'divider' && draft.dividers.some(({ nominalLossDb }) => nominalLossDb === step.lossDb);

/** The first step that has not been taken; `result` when all have. */
export const nextStep = (draft: CalibrationDraft): CalibrationStep =>
  stepsOf(draft.plan).find((step) => !isTaken(draft, step)) ?? { kind: 'result' };

export const takeGauge = (draft: CalibrationDraft, index: 0 | 1, mark: GaugeMark): CalibrationDraft => ({
  ...draft,
  gauges: index === 0 ? [mark, draft.gauges[1]] : [draft.gauges[0], mark],
});

export const takeDivider = (draft: CalibrationDraft, reading: DividerReading): CalibrationDraft => ({
  ...draft,
  dividers: [...draft.dividers.filter(({ nominalLossDb }) => nominalLossDb !== reading.nominalLossDb), reading],
});

/** Forgets the newest step, so that it can be taken again. */
export function stepBack(draft: CalibrationDraft): CalibrationDraft {
  if (draft.dividers.length > 0) return { ...draft, dividers: draft.dividers.slice(0, -1) };
  if (draft.gauges[1] !== null) return { ...draft, gauges: [draft.gauges[0], null] };
  return { ...draft, gauges: [null, null] };
}

/** Forgets one step wherever it stands, so that it is asked for again. */
export function forget(draft: CalibrationDraft, step: CalibrationStep): CalibrationDraft {
  if (step.kind === 'result') return draft;
  if (step.kind === 'divider')
    return { ...draft, dividers: draft.dividers.filter(({ nominalLossDb }) => nominalLossDb !== step.lossDb) };
  const [first, second] = draft.gauges;
  return { ...draft, gauges: step.index === 0 ? [null, second] : [first, null] };
}

/** Both gauges, or null when the plan has none or they are not taken yet. */
export const bothGauges = ({ gauges: [first, second] }: CalibrationDraft): [GaugeMark, GaugeMark] | null =>
  first === null || second === null ? null : [first, second];

/** All dividers, or null when the plan has none. */
export const allDividers = ({ dividers }: CalibrationDraft): DividerReading[] | null =>
  dividers.length === 0 ? null : [...dividers];

export const stepName = (step: CalibrationStep): string =>
  step.kind === 'gauge' ? `Gauge ${step.index + 1}` : step.kind === 'divider' ? `\u2212${step.lossDb}` : 'Result';
