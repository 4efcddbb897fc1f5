import { RunStateError } from './errors.ts';

export type RunState = 'idle' | 'running' | 'pausing' | 'paused' | 'stopping' | 'ended';

/** Every legal change of a run's state; anything else is a defect and refused. */
export const runTransitions: Readonly<Record<RunState, readonly RunState[]>> = {
  idle: ['running'],
  // `running` to `stopping` always: even a completed run passes through the clean-up.
  running: ['pausing', 'stopping'],
  pausing: ['paused', 'running', 'stopping'],
  paused: ['running', 'stopping'],
  stopping: ['ended'],
  ended: [],
};

export function mayChange(from: RunState, to: RunState): boolean {
  return runTransitions[from].includes(to);
}

/** A state that can only change along the table. */
export interface RunStateKeeper {
  readonly current: RunState;
  /** Throws RunStateError when the table does not allow it. */
  change(to: RunState): void;
}

export function keepRunState(onChange: (state: RunState) => void): RunStateKeeper {
  let current: RunState = 'idle';
  return {
    get current() {
      return current;
    },
    change(to) {
      if (!mayChange(current, to)) {
        throw new RunStateError(`A run that is ${current} cannot become ${to}. Start a new run instead.`);
      }
      current = to;
      onChange(to);
    },
  };
}
