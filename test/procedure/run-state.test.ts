import { describe, expect, it } from 'vitest';
import { RunStateError } from '../../src/procedure/errors.ts';
import { keepRunState, type RunState, runTransitions } from '../../src/procedure/run-state.ts';

const states = Object.keys(runTransitions) as RunState[];
const wayTo: Readonly<Record<RunState, readonly RunState[]>> = {
  idle: [],
  running: ['running'],
  pausing: ['running', 'pausing'],
  paused: ['running', 'pausing', 'paused'],
  stopping: ['running', 'stopping'],
  ended: ['running', 'stopping', 'ended'],
};

describe('states of a run', () => {
  it.each(states.flatMap((from) => states.map((to) => [from, to] as const)))(
    '%s to %s as the table says',
    (from, to) => {
      const told: RunState[] = [];
      const keeper = keepRunState((state) => told.push(state));
      for (const state of wayTo[from]) keeper.change(state);
      if (runTransitions[from].includes(to)) {
        keeper.change(to);
        expect(keeper.current).toBe(to);
        expect(told.at(-1)).toBe(to);
      } else {
        expect(() => keeper.change(to)).toThrow(RunStateError);
        expect(keeper.current).toBe(from);
      }
    },
  );

  it('ends for good, and only by way of stopping', () => {
    expect(runTransitions.ended).toEqual([]);
    for (const state of states) if (state !== 'stopping') expect(runTransitions[state]).not.toContain('ended');
  });
});
