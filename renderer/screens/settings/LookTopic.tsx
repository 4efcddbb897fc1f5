import type { ReactElement } from 'react';
import { settingsStore, writeSettings } from '../../bridge/station.ts';
import { useStore } from '../../bridge/store.ts';
import { Options } from './Options.tsx';

export function LookTopic(): ReactElement {
  const settings = useStore(settingsStore);
  return (
    <>
      <Options
        name="Theme"
        says="Dark for a dim shop, light for a bright one. Paper is always light."
        value={settings?.theme}
        options={[
          { id: 'system', name: 'As the computer' },
          { id: 'dark', name: 'Dark' },
          { id: 'light', name: 'Light' },
        ]}
        onChoose={(theme) => void writeSettings({ theme })}
      />
      <Options
        name="Decimal sign"
        says="On screens. Files always use the point, so that every program reads them."
        value={settings?.decimalSign}
        options={[
          { id: 'point', name: 'Point', note: '−0.42 dB' },
          { id: 'comma', name: 'Comma', note: '−0,42 dB' },
        ]}
        onChoose={(decimalSign) => void writeSettings({ decimalSign })}
      />
      <p className="soft">
        Units are fixed: travel in mm from the closed end, loss in dB (more is quieter), resistance in Ω. Dates run
        year, month, day.
      </p>
    </>
  );
}
