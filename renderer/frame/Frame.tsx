import { type ReactElement, useEffect } from 'react';
import { onMenuWish } from '../bridge/calls.ts';
import { attempt, lifeStore, settingsStore, snapshotStore } from '../bridge/station.ts';
import { useStore } from '../bridge/store.ts';
import { useScanner } from '../scan/use-scanner.ts';
import { stopRun, takeSerial } from '../screens/bench/actions.ts';
import { BenchScreen } from '../screens/bench/BenchScreen.tsx';
import { followBench } from '../screens/bench/follow-bench.ts';
import { chosenOperator } from '../screens/bench/job-slip.ts';
import { FadersScreen } from '../screens/faders/FadersScreen.tsx';
import { LawsScreen } from '../screens/laws/LawsScreen.tsx';
import { RigScreen } from '../screens/rig/RigScreen.tsx';
import { SettingsScreen } from '../screens/settings/SettingsScreen.tsx';
import { CoreLifeNote } from './CoreLifeNote.tsx';
import { FirstStart } from './FirstStart.tsx';
import { Foot } from './Foot.tsx';
import { openScreen, openScreenStore } from './open-screen.ts';
import { printScreen } from './print.ts';
import { Rail } from './Rail.tsx';
import { type ScreenId, screens } from './screens.ts';
import { Troubles } from './Troubles.tsx';
import { useTheme } from './use-theme.ts';

const views: Readonly<Record<ScreenId, () => ReactElement>> = {
  bench: BenchScreen,
  faders: FadersScreen,
  laws: LawsScreen,
  rig: RigScreen,
  settings: SettingsScreen,
};

/** The frame that all five screens share. Scans, Escape and the screen keys work wherever the focus is. */
export function Frame(): ReactElement {
  const open = useStore(openScreenStore);
  const snapshot = useStore(snapshotStore);
  const life = useStore(lifeStore);
  const settings = useStore(settingsStore);
  const operator = useStore(chosenOperator);
  useTheme(settings?.theme ?? 'system');

  useScanner((text) => {
    openScreen('bench');
    takeSerial(text);
  });

  useEffect(followBench, []);

  useEffect(() => {
    const onKey = (event: KeyboardEvent): void => {
      if (event.key === 'Escape') void attempt(stopRun);
      if ((event.ctrlKey || event.metaKey || event.altKey) && /^[1-5]$/.test(event.key)) {
        const screen = screens[Number(event.key) - 1];
        if (screen !== undefined) openScreen(screen.id);
        event.preventDefault();
      }
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  }, []);

  useEffect(
    () =>
      onMenuWish((wish) => {
        if (wish === 'stop') void attempt(stopRun);
        else if (wish === 'print') void attempt(printScreen);
        else openScreen(wish);
      }),
    [],
  );

  const View = views[open];
  return (
    <div className="frame">
      <Rail
        open={open}
        onOpen={openScreen}
        isVirtual={snapshot?.rig.identity?.isVirtual === true}
        operator={operator}
      />
      <main className="work" aria-label={screens.find((screen) => screen.id === open)?.name}>
        {life.state === 'running' || snapshot !== null ? <View /> : <CoreLifeNote />}
      </main>
      {/* The Rig has a place for them in itself. */}
      {(open !== 'rig' || snapshot === null) && <Troubles place={open === 'bench' ? 'over' : 'between'} />}
      <Foot rig={life.state === 'running' ? (snapshot?.rig ?? null) : null} />
      {settings !== null && !settings.firstStartDone && <FirstStart />}
    </div>
  );
}
