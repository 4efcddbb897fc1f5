import { type ReactElement, useCallback, useEffect, useRef, useState } from 'react';
import type { PortInfo } from '../../../src/contract/commands.ts';
import { callCore } from '../../bridge/calls.ts';
import { attempt } from '../../bridge/station.ts';
import { firstChoice, portName, type RigChoice, type RigWish } from './steps.ts';
import { VirtualChoice } from './VirtualChoice.tsx';

interface RigStepProps {
  readonly wish: RigWish;
  readonly onChange: (wish: RigWish) => void;
}

/** The serial ports that were found, each with what stands in its way, and the virtual rig. */
export function RigStep({ wish, onChange }: RigStepProps): ReactElement {
  const [ports, setPorts] = useState<readonly PortInfo[] | null>(null);
  const latest = useRef({ wish, onChange });
  latest.current = { wish, onChange };
  const look = useCallback(async () => {
    const found = (await attempt(() => callCore('rig.ports', {}))) ?? [];
    setPorts(found);
    const { wish: now, onChange: change } = latest.current;
    if (now.choice === null) change({ ...now, choice: firstChoice(found) });
  }, []);
  useEffect(() => void look(), [look]);

  const choose = (choice: RigChoice): void => onChange({ ...wish, choice });
  return (
    <>
      <fieldset className="rigs">
        <legend className="unseen">Which rig</legend>
        <VirtualChoice wish={wish} onChange={onChange} onChoose={() => choose({ kind: 'virtual' })} />
        {ports?.map((port) => (
          <label key={port.path} className={port.problem === null ? 'rig-choice' : 'rig-choice blocked'}>
            <input
              type="radio"
              name="rig"
              checked={wish.choice?.kind === 'port' && wish.choice.path === port.path}
              disabled={port.problem !== null}
              onChange={() => choose({ kind: 'port', path: port.path })}
            />
            <span>
              <strong>{port.path}</strong> <span className="soft">{portName(port)}</span>
              {port.problem !== null && <small>{port.problem}</small>}
            </span>
          </label>
        ))}
      </fieldset>
      <p className="look-again">
        <span className="soft">
          {ports === null
            ? 'Looking for ports.'
            : ports.length === 0
              ? 'No serial port was found. Plug the rig in and look again.'
              : 'Nothing moves when a rig is connected.'}
        </span>
        <button type="button" className="key" onClick={() => void look()}>
          Look again
        </button>
      </p>
    </>
  );
}
