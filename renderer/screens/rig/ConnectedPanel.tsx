import { type ReactElement, useState } from 'react';
import type { Snapshot } from '../../../src/contract/state.ts';
import { callCore } from '../../bridge/calls.ts';
import { attempt } from '../../bridge/station.ts';
import { numberText } from '../../format/numbers.ts';
import { Facts } from './Facts.tsx';
import type { Live } from './live.ts';
import { identityFacts, limitFacts, linkFacts } from './words.ts';

interface ConnectedPanelProps {
  readonly rig: Snapshot['rig'];
  readonly virtual: Snapshot['virtual'];
  readonly live: Live;
  readonly isMeasuring: boolean;
}

/** Which rig this is, what it can do, and how its line does. */
export function ConnectedPanel({ rig, virtual, live, isMeasuring }: ConnectedPanelProps): ReactElement {
  const [isLeaving, setIsLeaving] = useState(false);
  const leave = async (): Promise<void> => {
    setIsLeaving(true);
    await attempt(() => callCore('rig.disconnect', {}));
    setIsLeaving(false);
  };
  return (
    <section className="connected" aria-label="Connected rig">
      <div className="where">
        <h2 className="engraved">{virtual === null ? 'Port' : 'Virtual rig'}</h2>
        <strong>{rig.path}</strong>
        {virtual !== null && (
          <span className="soft">
            seed {virtual.seed}, {virtual.size} faders
          </span>
        )}
      </div>
      <Facts title="Identity" facts={identityFacts(rig.identity)} />
      <Facts title="Limits" facts={limitFacts(live.limits, numberText)} />
      <Facts title="Line" facts={linkFacts(live.statistics, numberText)} />
      <button type="button" className="key" disabled={isLeaving || isMeasuring} onClick={() => void leave()}>
        {isLeaving ? 'Leaving' : virtual === null ? 'Disconnect' : 'End the virtual rig'}
      </button>
    </section>
  );
}
