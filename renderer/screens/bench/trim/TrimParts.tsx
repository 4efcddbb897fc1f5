import './trim.css';
import './batch.css';
import './needle.css';
import type { ReactElement } from 'react';
import { useStore } from '../../../bridge/store.ts';
import { Known } from '../Known.tsx';
import { TravelPane } from '../TravelPane.tsx';
import type { BenchView } from '../use-bench.ts';
import { BatchPane } from './BatchPane.tsx';
import { NeedleKnown, NeedleStop } from './NeedleKnown.tsx';
import { NeedlePane } from './NeedlePane.tsx';
import { PaneChoice } from './PaneChoice.tsx';
import { TrimKnown } from './TrimKnown.tsx';
import { TrimPane } from './TrimPane.tsx';
import { paneStore } from './trim-state.ts';
import type { TrimBench } from './use-trim.ts';

interface TrimPartsProps {
  readonly bench: BenchView;
  /** Null while no piece is on its way. */
  readonly trim: TrimBench | null;
}

/** What stands beside the slip while tracks are trimmed. */
export function TrimParts({ bench, trim }: TrimPartsProps): ReactElement {
  const pane = useStore(paneStore);
  const needle = trim?.needle ?? null;
  if (trim !== null && needle !== null) {
    const mustStop = needle.state !== 'ended' && (needle.stop || needle.state === 'stop');
    return (
      <>
        <NeedlePane needle={needle} piece={trim.piece} law={trim.law} cuts={trim.cuts} />
        <NeedleKnown needle={needle} piece={trim.piece} />
        {mustStop && <NeedleStop needle={needle} piece={trim.piece} />}
      </>
    );
  }
  return (
    <>
      {pane === 'batch' ? (
        <BatchPane />
      ) : trim === null || trim.piece.rules === null ? (
        <TravelPane {...bench} aside={<PaneChoice />} />
      ) : (
        <TrimPane bench={bench} trim={trim} rules={trim.piece.rules} />
      )}
      {trim === null || bench.run !== null ? <Known {...bench} /> : <TrimKnown bench={bench} trim={trim} />}
    </>
  );
}
