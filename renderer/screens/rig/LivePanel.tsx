import type { ReactElement } from 'react';
import type { Snapshot } from '../../../src/contract/state.ts';
import { numberText } from '../../format/numbers.ts';
import { Contacts } from './Contacts.tsx';
import { JogKeys } from './JogKeys.tsx';
import { JogPanel, type JogSpeed } from './JogPanel.tsx';
import { LogPanel } from './LogPanel.tsx';
import type { Live } from './live.ts';
import { RigStrip } from './RigStrip.tsx';
import { travelSpan } from './travel-span.ts';
import type { Hold } from './use-hold.ts';
import type { Motion } from './use-motion.ts';
import { motionRefusal } from './words.ts';

interface LivePanelProps {
  readonly snapshot: Snapshot;
  readonly live: Live;
  readonly hold: Hold;
  readonly motion: Motion;
  readonly speed: JogSpeed;
  readonly onSpeed: (speed: JogSpeed) => void;
}

/** The connected rig as it stands now: carriage, reading, interlocks, jog, log. */
export function LivePanel({ snapshot, live, hold, motion, speed, onSpeed }: LivePanelProps): ReactElement {
  const { rig } = snapshot;
  const { reading, limits } = live;
  const refusal = motionRefusal(snapshot);
  const span = travelSpan(limits, reading);
  const positionMm = rig.positionMm ?? (reading === null ? null : reading.positionUm / 1000);
  return (
    <section className="live" aria-label="Rig now">
      <RigStrip span={span} positionMm={positionMm} />
      <div className="now">
        <dl className="reading" aria-label="Reading now">
          <Value name="Loss" value={numberText(reading?.lossDb, 2)} unit="dB" />
          <Value name="Ratio" value={numberText(reading?.ratio, 5)} unit="" />
          <Value name="Wiper, counts" value={numberText(reading?.wiperCounts, 0)} unit="" />
          <Value name="Track, counts" value={numberText(reading?.trackCounts, 0)} unit="" />
        </dl>
        <Contacts interlocks={rig.interlocks} hasHands={snapshot.virtual !== null} />
      </div>
      <JogKeys state={hold.state} send={hold.send} isAllowed={refusal === null && !motion.isMoving} />
      <JogPanel
        hold={hold}
        motion={motion}
        speed={speed}
        onSpeed={onSpeed}
        refusal={refusal}
        isGuardClosed={rig.interlocks?.guardClosed === true}
      />
      <LogPanel lines={live.log} />
    </section>
  );
}

function Value({
  name,
  value,
  unit,
}: {
  readonly name: string;
  readonly value: string;
  readonly unit: string;
}): ReactElement {
  return (
    <div>
      <dt className="engraved">{name}</dt>
      <dd className="value">
        {value} <span className="unit">{unit}</span>
      </dd>
    </div>
  );
}
