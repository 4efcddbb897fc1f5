/**
 * Hold-to-run: the carriage creeps only while one key is held down. A pure machine; what it asks for is carried out by
 * whoever drives it. Software, not an emergency stop.
 *
 *   still --press--> creeping --release, stop, lost, a second key--> halting --settled--> still
 *
 * A halt may overtake the creep it is meant for, so it is repeated every tick until the creep has settled: however late the
 * creep's answer comes, nothing goes on moving after the release. Nothing starts again without a key pressed anew.
 */
export type JogDirection = 'opening' | 'closing';

export interface HoldState {
  readonly phase: 'still' | 'creeping' | 'halting';
  /** Number of the newest creep; answers to older ones mean nothing. */
  readonly creepId: number;
  readonly direction: JogDirection | null;
  /** A key is down. While it is, and nothing creeps, no press counts: it must come up first. */
  readonly isDown: boolean;
}

export type HoldEvent =
  | { readonly kind: 'press'; readonly direction: JogDirection }
  | { readonly kind: 'release' }
  /** Escape, or anything else that stops: the key may still be down. */
  | { readonly kind: 'stop' }
  /** Focus, pointer, window or screen lost: no release will ever come. */
  | { readonly kind: 'lost' }
  /** The creep has ended, well or not. */
  | { readonly kind: 'settled'; readonly creepId: number }
  | { readonly kind: 'tick' };

export type HoldOrder =
  | { readonly kind: 'creep'; readonly creepId: number; readonly direction: JogDirection }
  | { readonly kind: 'halt' }
  /** The key is still held; said at every tick, for those who watch from outside. */
  | { readonly kind: 'held' };

export interface HoldStep {
  readonly state: HoldState;
  readonly orders: readonly HoldOrder[];
}

/** The driver sends a tick this often while the phase is not `still`. */
export const tickMs = 100;

export const atRest: HoldState = { phase: 'still', creepId: 0, direction: null, isDown: false };

export function holdStep(state: HoldState, event: HoldEvent): HoldStep {
  switch (event.kind) {
    case 'press':
      return press(state, event.direction);
    case 'release':
    case 'lost':
      return halt({ ...state, isDown: false });
    case 'stop':
      return halt(state);
    case 'settled':
      if (event.creepId !== state.creepId || state.phase === 'still') return { state, orders: [] };
      return { state: { ...state, phase: 'still', direction: null }, orders: [] };
    case 'tick':
      if (state.phase === 'creeping') return { state, orders: [{ kind: 'held' }] };
      return { state, orders: state.phase === 'halting' ? [{ kind: 'halt' }] : [] };
  }
}

function press(state: HoldState, direction: JogDirection): HoldStep {
  if (state.phase === 'still' && !state.isDown) {
    const creepId = state.creepId + 1;
    return {
      state: { phase: 'creeping', creepId, direction, isDown: true },
      orders: [{ kind: 'creep', creepId, direction }],
    };
  }
  // Two keys at once say nothing clear: stand still.
  return halt({ ...state, isDown: true });
}

function halt(state: HoldState): HoldStep {
  if (state.phase === 'still') return { state, orders: [] };
  return { state: { ...state, phase: 'halting' }, orders: [{ kind: 'halt' }] };
}
