import { type FormEvent, type ReactElement, useCallback, useEffect, useState } from 'react';
import type { PortInfo } from '../../../src/contract/commands.ts';
import type { RigView } from '../../../src/contract/state.ts';
import { callCore } from '../../bridge/calls.ts';
import { attempt, settingsStore } from '../../bridge/station.ts';
import { portName } from './words.ts';

interface PortsPanelProps {
  readonly rig: RigView;
  /** A path, `virtual`, or null while nothing is chosen. */
  readonly chosen: string | null;
  readonly onChoose: (path: string) => void;
}

export const virtualChoice = 'virtual';

/** The ports of this computer, what stands in the way of each, and the virtual rig. */
export function PortsPanel({ rig, chosen, onChoose }: PortsPanelProps): ReactElement {
  const [ports, setPorts] = useState<readonly PortInfo[] | null>(null);
  const [isConnecting, setIsConnecting] = useState(false);
  const look = useCallback(async (): Promise<void> => {
    setPorts((await attempt(() => callCore('rig.ports', {}))) ?? []);
  }, []);
  useEffect(() => void look(), [look]);
  useEffect(() => {
    if (chosen !== null || ports === null) return;
    const last = settingsStore.get()?.lastPort ?? null;
    const first = ports.find(({ path }) => path === last) ?? ports.find(({ problem }) => problem === null) ?? ports[0];
    onChoose(first?.path ?? virtualChoice);
  }, [ports, chosen, onChoose]);

  const connect = async (path: string): Promise<void> => {
    setIsConnecting(true);
    await attempt(() => callCore('rig.connect', { path }));
    setIsConnecting(false);
  };
  const isBusy = isConnecting || rig.state === 'connecting';
  const [other, setOther] = useState('');
  const otherPath = other.trim();
  const isOther = otherPath !== '' && chosen === otherPath;
  const isKnown = isOther || ports?.some(({ path }) => path === chosen) === true;
  const connectOther = (event: FormEvent): void => {
    event.preventDefault();
    if (otherPath === '' || isBusy) return;
    onChoose(otherPath);
    void connect(otherPath);
  };

  return (
    <section className="ports" aria-label="Ports">
      <header>
        <h2 className="engraved">Ports</h2>
        <button type="button" className="key" onClick={() => void look()}>
          Look again
        </button>
      </header>
      <ul>
        {ports?.map((info) => (
          <li key={info.path}>
            <button
              type="button"
              className="port"
              aria-pressed={chosen === info.path}
              onClick={() => onChoose(info.path)}
            >
              <strong>{info.path}</strong>
              <span className="soft">{info.problem === null ? portName(info) : 'Cannot be opened'}</span>
            </button>
          </li>
        ))}
        {ports?.length === 0 && <li className="soft empty">No serial port. Plug the rig in, then look again.</li>}
        <li>
          <button
            type="button"
            className="port"
            aria-pressed={chosen === virtualChoice}
            onClick={() => onChoose(virtualChoice)}
          >
            <strong>Virtual rig</strong>
            <span className="soft">A model with a batch of faders</span>
          </button>
        </li>
      </ul>
      <form className="other-port" onSubmit={connectOther}>
        <label className="named">
          <span className="engraved">Port that is not listed</span>
          <input
            value={other}
            placeholder="its name or path"
            spellCheck={false}
            autoComplete="off"
            onChange={(event) => {
              setOther(event.target.value);
              const path = event.target.value.trim();
              if (path !== '') onChoose(path);
            }}
          />
        </label>
      </form>
      {rig.path !== null && rig.state !== 'absent' ? (
        <button type="button" className="key" onClick={() => void attempt(() => callCore('rig.disconnect', {}))}>
          Give up on {rig.path}
        </button>
      ) : (
        chosen !== virtualChoice && (
          <button
            type="button"
            className="key main next"
            disabled={!isKnown || isBusy}
            onClick={() => chosen !== null && void connect(chosen)}
          >
            {isBusy ? 'Connecting' : 'Connect'}
          </button>
        )
      )}
    </section>
  );
}
