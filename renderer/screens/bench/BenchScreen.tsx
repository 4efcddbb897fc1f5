import './bench.css';
import { type ReactElement, useEffect } from 'react';
import { useStore } from '../../bridge/store.ts';
import { press } from './actions.ts';
import { chosenJob } from './job-slip.ts';
import { Known } from './Known.tsx';
import { readLaws } from './laws-at-hand.ts';
import { Slip } from './Slip.tsx';
import { TravelPane } from './TravelPane.tsx';
import { pressNeedle } from './trim/press-needle.ts';
import { pressTrim } from './trim/press-trim.ts';
import { TrimParts } from './trim/TrimParts.tsx';
import { useTrim } from './trim/use-trim.ts';
import { useBench } from './use-bench.ts';
import { useEnter } from './use-enter.ts';
import { useTyping } from './use-typing.ts';

/** The operator's screen: slip, fader with its deviation, and what is known. */
export function BenchScreen(): ReactElement {
  const view = useBench();
  const trim = useTrim(view);
  const job = useStore(chosenJob);
  const { main } = view.headline;
  useEnter(() => {
    if (trim?.needle != null) pressNeedle(trim.needle, trim.piece);
    else if (trim !== null && view.run === null) pressTrim(view, trim);
    else if (main !== null) press(main.act);
  });
  useTyping();
  const { isCoreThere } = view;
  useEffect(() => {
    if (isCoreThere) void readLaws();
  }, [isCoreThere]);
  return (
    <div className="bench">
      <Slip isMeasuring={view.run !== null} />
      {job === 'trim' || trim !== null ? (
        <TrimParts bench={view} trim={trim} />
      ) : (
        <>
          <TravelPane {...view} />
          <Known {...view} />
        </>
      )}
    </div>
  );
}
