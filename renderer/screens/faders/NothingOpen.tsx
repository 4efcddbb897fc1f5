import type { ReactElement } from 'react';
import { useStore } from '../../bridge/store.ts';
import { DeviationTab } from './DeviationTab.tsx';
import { useLawOf } from './law-of-run.ts';
import { laidOver } from './lay-over.ts';

/** Before a record is opened: the curves laid over if there are any, else what can be done here. */
export function NothingOpen({ hasRuns }: { readonly hasRuns: boolean }): ReactElement {
  const laid = useStore(laidOver);
  const law = useLawOf(laid.runs[0] ?? null);
  if (laid.runs.length > 0) {
    return (
      <>
        <header className="record-head">
          <span className="value">{laid.runs.length} runs laid over</span>
        </header>
        <div className="record-part">
          <DeviationTab run={null} law={law} />
        </div>
      </>
    );
  }
  return (
    <div className="empty-part">
      <p className="lead">{hasRuns ? 'Open a fader from the list.' : 'No fader has been measured on this station.'}</p>
      <ul className="soft teach">
        {hasRuns ? (
          <>
            <li>A part of the serial is enough to find it. Arrow keys go through the list.</li>
            <li>The wave at the end of a row lays that curve over the opened one; so do all found with one key.</li>
            <li>Nothing here can be changed or deleted. A fader measured again gets a further run beside the first.</li>
          </>
        ) : (
          <>
            <li>Go to Bench, scan or type a serial, and measure. The run appears here when it is on disk.</li>
            <li>Runs that were stopped or void are kept as well, with the reason.</li>
          </>
        )}
      </ul>
    </div>
  );
}
