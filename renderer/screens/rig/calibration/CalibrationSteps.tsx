import type { ReactElement } from 'react';
import { callCore } from '../../../bridge/calls.ts';
import { attempt } from '../../../bridge/station.ts';
import { DividerStep } from './DividerStep.tsx';
import { type CalibrationStep, forget, isTaken, nextStep, stepBack, stepName, stepsOf } from './draft.ts';
import { GaugeStep } from './GaugeStep.tsx';
import { ResultStep } from './ResultStep.tsx';
import type { CalibrationStepsProps } from './steps-props.ts';

/** One step at a time, with those behind and before it named. */
export function CalibrationSteps(props: CalibrationStepsProps): ReactElement {
  const { draft, isVirtual, onDraft } = props;
  const step = nextStep(draft);
  const steps = stepsOf(draft.plan);
  const at = steps.findIndex((other) => sameStep(other, step));
  const giveUp = (): void => {
    onDraft(null);
    // The virtual clamp would go on holding a divider instead of the fader.
    if (isVirtual && draft.plan !== 'position') void attempt(() => callCore('virtual.fitDivider', { lossDb: null }));
  };
  return (
    <>
      <h2 className="engraved">New calibration</h2>
      <ol className="steps" aria-label="Steps">
        {steps.map((other, index) => (
          <li key={stepName(other)} aria-current={index === at ? 'step' : undefined} data-done={isTaken(draft, other)}>
            <button
              type="button"
              disabled={!isTaken(draft, other)}
              aria-label={isTaken(draft, other) ? `Take ${stepName(other)} again` : stepName(other)}
              onClick={() => onDraft(forget(draft, other))}
            >
              {stepName(other)}
            </button>
          </li>
        ))}
      </ol>
      <div className="step" key={stepName(step)}>
        {step.kind === 'gauge' && <GaugeStep {...props} index={step.index} />}
        {step.kind === 'divider' && <DividerStep {...props} lossDb={step.lossDb} />}
        {step.kind === 'result' && <ResultStep {...props} />}
      </div>
      <div className="pair">
        <button type="button" className="key" disabled={at === 0} onClick={() => onDraft(stepBack(draft))}>
          Step back
        </button>
        <button type="button" className="key" onClick={giveUp}>
          Give up
        </button>
      </div>
    </>
  );
}

const sameStep = (a: CalibrationStep, b: CalibrationStep): boolean => stepName(a) === stepName(b);
