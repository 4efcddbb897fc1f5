import './rig.css';
import { type ReactElement, useState } from 'react';
import { snapshotStore } from '../../bridge/station.ts';
import { useStore } from '../../bridge/store.ts';
import { ConnectedPanel } from './ConnectedPanel.tsx';
import { CalibrationPanel } from './calibration/CalibrationPanel.tsx';
import type { JogSpeed } from './JogPanel.tsx';
import { LivePanel } from './LivePanel.tsx';
import { useLive } from './live.ts';
import { PortsPanel } from './PortsPanel.tsx';
import { UnconnectedPanel } from './UnconnectedPanel.tsx';
import { useHold } from './use-hold.ts';
import { useMotion } from './use-motion.ts';

export function RigScreen(): ReactElement {
  const snapshot = useStore(snapshotStore);
  const [chosenPort, setChosenPort] = useState<string | null>(null);
  const [speed, setSpeed] = useState<JogSpeed>(5);
  const [isMeterTaken, setIsMeterTaken] = useState(false);
  const hold = useHold(speed);
  const motion = useMotion();
  const rig = snapshot?.rig ?? null;
  const isMeasuring = snapshot?.run != null && snapshot.run.state !== 'ended';
  const isStill = hold.state.phase === 'still' && !motion.isMoving;
  const rigSerial = rig?.state === 'ready' ? (rig.identity?.serial ?? null) : null;
  const live = useLive(rigSerial, !isMeasuring && isStill && !isMeterTaken);

  if (snapshot === null || rig === null) return <section aria-label="Rig" />;
  if (rig.state !== 'ready') {
    return (
      <div className="rig">
        <PortsPanel rig={rig} chosen={chosenPort} onChoose={setChosenPort} />
        <UnconnectedPanel rig={rig} chosen={chosenPort} log={live.log} />
      </div>
    );
  }
  return (
    <div className="rig">
      <ConnectedPanel rig={rig} virtual={snapshot.virtual} live={live} isMeasuring={isMeasuring} />
      <LivePanel snapshot={snapshot} live={live} hold={hold} motion={motion} speed={speed} onSpeed={setSpeed} />
      <CalibrationPanel
        rig={rig}
        fullScaleCounts={live.limits?.fullScaleCounts ?? null}
        positionUm={live.reading?.positionUm ?? null}
        isStill={isStill && !isMeasuring}
        onMeterTaken={setIsMeterTaken}
      />
    </div>
  );
}
