import { type ReactElement, useCallback, useEffect, useState } from 'react';
import type { DoctorLine } from '../../../src/contract/commands.ts';
import { callCore, callShell } from '../../bridge/calls.ts';
import { attempt, snapshotStore } from '../../bridge/station.ts';
import { useStore } from '../../bridge/store.ts';
import { closedContactShape, openContactShape } from '../../look/bench-shapes.ts';
import { ShapeFigure } from '../../look/ShapeFigure.tsx';
import { doctorReport } from './doctor-report.ts';

const words = { good: 'Good', attention: 'Look at it', bad: 'Bad' } as const;

/** What the station found about itself, and the log files that a person can send. */
export function HealthTopic(): ReactElement {
  const [lines, setLines] = useState<readonly DoctorLine[] | null>(null);
  const [isBusy, setBusy] = useState(false);
  const [isCopied, setCopied] = useState(false);
  const version = useStore(snapshotStore)?.programVersion ?? '';

  const look = useCallback(async () => {
    setBusy(true);
    setCopied(false);
    const found = await attempt(() => callCore('doctor', {}));
    setBusy(false);
    if (found !== null) setLines(found);
  }, []);
  useEffect(() => void look(), [look]);

  const copy = async (): Promise<void> => {
    await callShell('clipboard.copy', { text: doctorReport(lines ?? [], version) });
    setCopied(true);
  };

  return (
    <>
      <p className="soft">Ports, permissions, database and runtime, looked at now. Program version {version}.</p>
      <div className="triple">
        <button type="button" className="key" disabled={isBusy} onClick={() => void look()}>
          {isBusy ? 'Looking' : 'Look again'}
        </button>
        <button type="button" className="key" disabled={lines === null} onClick={() => void attempt(copy)}>
          {isCopied ? 'Copied' : 'Copy'}
        </button>
        <button type="button" className="key" onClick={() => void attempt(() => callShell('logs.show', {}))}>
          Show log files
        </button>
      </div>
      <ul className="findings" aria-live="polite">
        {lines?.map((line) => (
          <li key={`${line.subject} ${line.text}`}>
            <ShapeFigure shape={line.state === 'good' ? closedContactShape : openContactShape} className="contact" />
            <span>
              <strong>{line.subject}</strong> <span className="engraved">{words[line.state]}</span>
              <span className="said">{line.text}</span>
              {line.remedy !== null && <span className="remedy">{line.remedy}</span>}
            </span>
          </li>
        ))}
      </ul>
    </>
  );
}
