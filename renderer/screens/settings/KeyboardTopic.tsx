import type { ReactElement } from 'react';

const rows: readonly { readonly keys: string; readonly does: string }[] = [
  { keys: 'Enter, foot pedal', does: 'Presses the violet key: measures, goes on, takes a typed serial' },
  { keys: 'Escape', does: 'Stops the carriage, on every screen. This stop is software, not an emergency stop' },
  { keys: 'Scanner', does: 'Puts the serial on the slip, whatever has the focus, and opens the Bench' },
  { keys: 'Ctrl 1 to 5', does: 'Bench, Faders, Laws, Rig, Settings' },
  { keys: 'F1', does: 'This screen' },
  { keys: 'Ctrl P', does: 'Writes the screen as PDF' },
  { keys: 'Tab, Shift Tab', does: 'To the next and the previous place' },
  { keys: 'Arrows', does: 'Choose in a list' },
  { keys: 'Space', does: 'Presses the key that has the focus' },
];

export function KeyboardTopic(): ReactElement {
  return (
    <>
      <p className="soft">
        From scan to verdict two actions are enough once the fader is clamped: scan, then Enter or the pedal. On a Mac,
        Command stands for Ctrl. Set the scanner to send Enter after the code.
      </p>
      <dl className="facts keys-map">
        {rows.map(({ keys, does }) => (
          <div key={keys}>
            <dt>{keys}</dt>
            <dd>{does}</dd>
          </div>
        ))}
      </dl>
    </>
  );
}
