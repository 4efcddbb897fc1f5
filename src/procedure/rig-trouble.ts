import {
  InterlockOpenError,
  type ProcedureError,
  RigRestartedError,
  RunLineLostError,
  SilenceStopError,
  StallError,
} from './errors.ts';
import type { RigEvent } from './rig-port.ts';

/** What a rig's event means for a run under way; null = nothing bad. */
export function troubleOf(event: RigEvent): ProcedureError | null {
  switch (event.kind) {
    case 'interlocks': {
      const { guardClosed, emergencyStopReleased, clampClosed } = event.interlocks;
      if (!emergencyStopReleased) {
        return new InterlockOpenError(
          'The emergency stop was pressed. Make sure all is safe, release it, measure again.',
        );
      }
      if (!guardClosed) return new InterlockOpenError('The guard was opened. Close it and measure again.');
      if (!clampClosed) return new InterlockOpenError('The clamp was opened. Clamp the fader and measure again.');
      return null;
    }
    case 'stall':
      return new StallError(
        `The carriage met something hard at ${(event.positionUm / 1000).toFixed(1)} mm. Clear its way, check the fader's seat, measure again.`,
      );
    case 'silenceStop':
      return new SilenceStopError(
        'The rig heard nothing from the program for too long and stopped by itself. Check the cable, measure again.',
      );
    case 'restarted':
      return new RigRestartedError('The rig started anew in mid-run. Check its supply, measure again.');
    case 'lineLost':
      return new RunLineLostError(
        `The line to the rig on ${event.port} was lost. Check its cable and supply, and measure again when it is back.`,
      );
    case 'lineBack':
      return null;
  }
}
