import type { ReactElement } from 'react';
import { settingsStore, writeSettings } from '../../bridge/station.ts';
import { useStore } from '../../bridge/store.ts';
import type { CueName } from '../../sound/cues.ts';
import { playCue } from '../../sound/play.ts';
import { Options } from './Options.tsx';

const cueRows: readonly { readonly cue: CueName; readonly name: string; readonly rhythm: string }[] = [
  { cue: 'pass', name: 'Pass', rhythm: 'one short' },
  { cue: 'doubt', name: 'Doubt', rhythm: 'short, long' },
  { cue: 'fail', name: 'Fail', rhythm: 'three short' },
  { cue: 'void', name: 'Void', rhythm: 'one long, falling' },
  { cue: 'scan', name: 'Scan taken', rhythm: 'a tick' },
];

export function SoundTopic(): ReactElement {
  const settings = useStore(settingsStore);
  return (
    <>
      <Options
        name="Cues"
        says="A soft cue with every verdict and a tick for a scan; never while the carriage moves."
        value={settings === null ? undefined : settings.sound ? 'on' : 'off'}
        options={[
          { id: 'off', name: 'Off' },
          { id: 'on', name: 'On' },
        ]}
        onChoose={(choice) => void writeSettings({ sound: choice === 'on' })}
      />
      <h2>How they sound</h2>
      <ul className="lines">
        {cueRows.map(({ cue, name, rhythm }) => (
          <li key={cue}>
            <strong>{name}</strong>
            <span className="soft">{rhythm}</span>
            <button type="button" className="key" onClick={() => playCue(cue)} aria-label={`Hear ${name}`}>
              Hear
            </button>
          </li>
        ))}
      </ul>
    </>
  );
}
