import { type ReactElement, useEffect, useState } from 'react';
import type { PortInfo } from '../../../src/contract/commands.ts';
import type { RigView } from '../../../src/contract/state.ts';
import { callCore } from '../../bridge/calls.ts';
import { openContactShape, unknownContactShape } from '../../look/bench-shapes.ts';
import { ShapeFigure } from '../../look/ShapeFigure.tsx';
import { LogPanel } from './LogPanel.tsx';
import type { LogLine } from './live.ts';
import { virtualChoice } from './PortsPanel.tsx';
import { VirtualForm } from './VirtualForm.tsx';
import { portName } from './words.ts';

interface UnconnectedPanelProps {
  readonly rig: RigView;
  readonly chosen: string | null;
  readonly log: readonly LogLine[];
}

const stateWords = {
  absent: 'No rig',
  connecting: 'Connecting',
  lost: 'Line lost',
  refused: 'Refused',
  ready: 'Connected',
} as const;

/** While no rig answers: why, what to do, and what is known of the chosen port. */
export function UnconnectedPanel({ rig, chosen, log }: UnconnectedPanelProps): ReactElement {
  const isVirtualChosen = chosen === virtualChoice && rig.state === 'absent';
  return (
    <section className="unconnected" aria-label="No rig yet">
      {isVirtualChosen ? (
        <VirtualForm />
      ) : (
        <div className="state">
          <div className="headline">
            <ShapeFigure
              shape={rig.state === 'connecting' ? unknownContactShape : openContactShape}
              className="state-shape"
            />
            <p className="word long">{stateWords[rig.state]}</p>
          </div>
          <p className="lead">{rig.reason ?? sentences[rig.state]}</p>
          {rig.state === 'absent' && chosen !== null && <PortDetail path={chosen} />}
        </div>
      )}
      <LogPanel lines={log} />
    </section>
  );
}

const sentences = {
  absent: 'Plug the rig in, choose its port and connect. Without one, choose the virtual rig to try everything.',
  connecting: 'Asking the rig who it is.',
  lost: 'Check cable and power: the program reconnects by itself.',
  refused: 'This rig cannot be used by this program.',
  ready: '',
} as const;

function PortDetail({ path }: { readonly path: string }): ReactElement | null {
  const [port, setPort] = useState<PortInfo | null>(null);
  useEffect(() => {
    let isOpen = true;
    callCore('rig.ports', {}).then(
      (ports) => {
        if (isOpen) setPort(ports.find((info) => info.path === path) ?? null);
      },
      // The list beside tells of the failure.
      () => {},
    );
    return () => {
      isOpen = false;
    };
  }, [path]);
  if (port === null) return null;
  return (
    <dl className="port-detail">
      <dt>Port</dt>
      <dd>{port.path}</dd>
      <dt>Device</dt>
      <dd>{[portName(port), port.serial].filter((part) => part !== null).join(', ')}</dd>
      <dt>Can be opened</dt>
      <dd>{port.problem ?? 'Yes'}</dd>
    </dl>
  );
}
