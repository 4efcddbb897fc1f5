import './bench.css';
import { type ReactElement, useEffect } from 'react';
import { press } from './actions.ts';
import { Known } from './Known.tsx';
import { readLaws } from './laws-at-hand.ts';
import { Slip } from './Slip.tsx';
import { TravelPane } from './TravelPane.tsx';
import { useBench } from './use-bench.ts';
import { useEnter } from './use-enter.ts';
import { useTyping } from './use-typing.ts';

/** The operator's screen: slip, fader with its deviation, and what is known. */
export function BenchScreen(): ReactElement {
  const view = useBench();
  const { main } = view.headline;
  useEnter(() => {
    if (main !== null) press(main.act);
  });
  useTyping();
  const { isCoreThere } = view;
  useEffect(() => {
    if (isCoreThere) void readLaws();
  }, [isCoreThere]);
  return (
    <div className="bench">
      <Slip isMeasuring={view.run !== null} />
      <TravelPane {...view} />
      <Known {...view} />
    </div>
  );
}
