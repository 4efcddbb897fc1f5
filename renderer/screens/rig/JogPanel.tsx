import type { ReactElement } from 'react';
import { Choice } from './Choice.tsx';
import type { Hold } from './use-hold.ts';
import type { Motion } from './use-motion.ts';

export const jogSpeeds = [1, 5, 20] as const;
export type JogSpeed = (typeof jogSpeeds)[number];

interface JogPanelProps {
  readonly hold: Hold;
  readonly motion: Motion;
  readonly speed: JogSpeed;
  readonly onSpeed: (speed: JogSpeed) => void;
  /** Why nothing may move, or null. */
  readonly refusal: string | null;
  readonly isGuardClosed: boolean;
}

const phaseWords = { still: 'Still', creeping: 'Creeping', halting: 'Halting' } as const;

/** Speed, home, park and halt beside the two jog keys, and what this stop is not. */
export function JogPanel({ hold, motion, speed, onSpeed, refusal, isGuardClosed }: JogPanelProps): ReactElement {
  const { phase } = hold.state;
  const mayMove = refusal === null && !motion.isMoving && phase === 'still';
  const halt = (): void => {
    hold.send({ kind: 'stop' });
    motion.halt();
  };
  return (
    <div className="jog-panel">
      <Choice
        name="Jog speed"
        unit="mm/s"
        options={jogSpeeds}
        chosen={speed}
        onChoose={onSpeed}
        isDisabled={phase !== 'still'}
      />
      <div className="row">
        <button
          type="button"
          className="key"
          disabled={!mayMove || !isGuardClosed}
          onClick={() => motion.move('rig.home')}
        >
          Home
        </button>
        <button
          type="button"
          className="key"
          disabled={!mayMove || !isGuardClosed}
          onClick={() => motion.move('rig.park')}
        >
          Park
        </button>
        <button type="button" className="key stop" onClick={halt}>
          Halt <span className="cap">Esc</span>
        </button>
      </div>
      <p className="caution" aria-live="polite">
        <strong>{motion.isMoving ? 'Moving' : phaseWords[phase]}.</strong>{' '}
        {refusal ??
          (isGuardClosed
            ? 'Hold a key down, or Space or an arrow key on it; letting go stops.'
            : 'The guard is open: fingers clear. Home and Park want it closed.')}{' '}
        Hold-to-run is software. The emergency stop is the switch on the rig that cuts motor power.
      </p>
    </div>
  );
}
