/** What trimming keeps up while any screen is open: the piece that waits to be measured, and what is known here only. */
import {
  attempt,
  lastPiecesStore,
  lifeStore,
  needleStore,
  settingsStore,
  trimPieceStore,
} from '../../../bridge/station.ts';
import { openScreen, openScreenStore } from '../../../frame/open-screen.ts';
import { playCue } from '../../../sound/play.ts';
import { takeUpLast } from './take-up.ts';
import { askedStore, handStore } from './trim-state.ts';

export function followTrim(): () => void {
  let isLookedFor = false;
  const lookOnce = (): void => {
    if (isLookedFor || lifeStore.get().state !== 'running' || lastPiecesStore.get().length === 0) return;
    isLookedFor = true;
    void attempt(takeUpLast);
  };
  const ends = [
    lifeStore.subscribe(() => {
      if (lifeStore.get().state === 'running') return;
      // Nobody knows what was cut meanwhile, and no needle stands any more.
      askedStore.set(null);
      needleStore.set(null);
      handStore.set(false);
      isLookedFor = false;
    }),
    lastPiecesStore.subscribe(lookOnce),
    lifeStore.subscribe(lookOnce),
    trimPieceStore.subscribe(soundEnd),
    // Wherever the person is, Stop must be seen.
    needleStore.subscribe(() => {
      if (needleStore.get()?.state === 'stop' && openScreenStore.get() !== 'bench') openScreen('bench');
    }),
  ];
  lookOnce();
  return () => {
    for (const end of ends) end();
  };
}

const endCues = { accepted: 'pass', ended: 'fail', hopeless: 'fail' } as const;
let soundedFor = '';

function soundEnd(): void {
  const piece = trimPieceStore.get();
  if (piece === null || !(piece.state in endCues)) return;
  const once = `${piece.serial} ${piece.changedAt}`;
  if (once === soundedFor) return;
  soundedFor = once;
  if (settingsStore.get()?.sound === true) playCue(endCues[piece.state as keyof typeof endCues]);
}
