import type { ReactElement } from 'react';
import { writeSettings } from '../../bridge/station.ts';

export function FirstStartTopic(): ReactElement {
  return (
    <>
      <p className="soft">
        The guide asks who you are and which rig to use, shows the cautions and leads to the Bench. Results, laws and
        settings stay as they are.
      </p>
      <button type="button" className="key" onClick={() => void writeSettings({ firstStartDone: false })}>
        Begin the guide again
      </button>
    </>
  );
}
