/** Drives the hold-to-run machine: its orders become calls, a timer repeats them, and whatever is lost stops it. */
import { useCallback, useEffect, useRef, useState } from 'react';
import { callCore, callShell } from '../../bridge/calls.ts';
import { showTrouble } from '../../bridge/station.ts';
import {
  atRest,
  type HoldEvent,
  type HoldOrder,
  type HoldState,
  holdStep,
  type JogDirection,
  tickMs,
} from './hold-to-run.ts';

/** Beyond any rig: the core goes to the end of the travel that the rig reports. */
const beyondMm = 10_000;

export interface Hold {
  readonly state: HoldState;
  readonly send: (event: HoldEvent) => void;
}

export function useHold(speedMmPerS: number): Hold {
  const [state, setState] = useState<HoldState>(atRest);
  const now = useRef<HoldState>(atRest);
  const speed = useRef(speedMmPerS);
  speed.current = speedMmPerS;
  const timer = useRef<ReturnType<typeof setInterval> | null>(null);
  const self = useRef<(event: HoldEvent) => void>(() => {});

  const send = useCallback((event: HoldEvent): void => {
    const step = holdStep(now.current, event);
    now.current = step.state;
    setState(step.state);
    for (const order of step.orders) carryOut(order, speed.current, now, self.current);
    const moves = step.state.phase !== 'still';
    if (moves && timer.current === null) timer.current = setInterval(() => self.current({ kind: 'tick' }), tickMs);
    if (!moves && timer.current !== null) {
      clearInterval(timer.current);
      timer.current = null;
    }
  }, []);
  self.current = send;

  useEffect(() => {
    const lost = (): void => send({ kind: 'lost' });
    const hidden = (): void => {
      if (document.hidden) lost();
    };
    const onKey = (event: KeyboardEvent): void => {
      if (event.key === 'Escape') send({ kind: 'stop' });
    };
    window.addEventListener('blur', lost);
    window.addEventListener('pagehide', lost);
    document.addEventListener('visibilitychange', hidden);
    window.addEventListener('keydown', onKey, { capture: true });
    return () => {
      window.removeEventListener('blur', lost);
      window.removeEventListener('pagehide', lost);
      document.removeEventListener('visibilitychange', hidden);
      window.removeEventListener('keydown', onKey, { capture: true });
      // Another screen was opened: the timer goes on by itself until the creep has settled.
      lost();
    };
  }, [send]);

  return { state, send };
}

type Now = { readonly current: HoldState };

function carryOut(order: HoldOrder, speedMmPerS: number, now: Now, send: (event: HoldEvent) => void): void {
  if (order.kind === 'creep') void creep(order.creepId, order.direction, speedMmPerS, now, send);
  // A halt that fails while the creep goes on is repeated at the next tick; the creep's own failure is what is shown.
  else if (order.kind === 'halt') callCore('rig.halt', {}).catch(() => {});
  else callShell('jog.held', {}).catch(() => send({ kind: 'stop' }));
}

async function creep(
  creepId: number,
  direction: JogDirection,
  speedMmPerS: number,
  now: Now,
  send: (event: HoldEvent) => void,
): Promise<void> {
  try {
    await callCore('rig.creep', { targetMm: direction === 'opening' ? beyondMm : -beyondMm, speedMmPerS });
  } catch (error) {
    // Ended by the halt that was asked for: that is how a jog ends.
    if (now.current.creepId === creepId && now.current.phase === 'creeping') showTrouble(error);
  }
  send({ kind: 'settled', creepId });
}
