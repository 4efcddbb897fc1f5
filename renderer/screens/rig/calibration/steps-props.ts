/** What each step of a calibration is given. */
import type { Calibration } from '../../../../src/trust/calibration.ts';
import type { CalibrationDraft } from './draft.ts';

export interface CalibrationStepsProps {
  readonly draft: CalibrationDraft;
  readonly before: Calibration;
  readonly fullScaleCounts: number | null;
  readonly isVirtual: boolean;
  readonly positionUm: number | null;
  readonly isStill: boolean;
  /** Null = given up. */
  readonly onDraft: (draft: CalibrationDraft | null) => void;
  readonly onMeterTaken: (isTaken: boolean) => void;
  readonly onKept: () => void;
}
