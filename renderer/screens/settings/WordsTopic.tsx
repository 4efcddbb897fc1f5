import type { ReactElement } from 'react';
import { VerdictWords } from './VerdictWords.tsx';

export function WordsTopic(): ReactElement {
  return (
    <>
      <VerdictWords withRules />
      <p>
        <strong>Law</strong>: the loss in dB that a fader should have at each travel, with limits.{' '}
        <strong>Deviation</strong>: measured loss minus the law’s; more is quieter, less is louder.{' '}
        <strong>Slot</strong>: what the limits leave free, drawn around the law.
      </p>
      <p>
        <strong>U</strong>: the expanded uncertainty of a reading (k = 2). The true value lies within U of what was read
        in about 95 of 100 cases. Limits are drawn in by U before anything passes.
      </p>
      <p>
        <strong>Attempts</strong> are counted and shown. Measuring again does not turn a reject into a good fader.
      </p>
    </>
  );
}
