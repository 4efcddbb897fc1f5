import { type ReactElement, useState } from 'react';
import { callShell } from '../../bridge/calls.ts';
import { attempt } from '../../bridge/station.ts';
import { importFile } from './law-actions.ts';
import { type RefusedFile, refusedFile } from './laws-state.ts';

/** `line 3: ...` as place and text. */
export function placeAndText(detail: string): { readonly place: string; readonly text: string } {
  const match = /^((?:line|row) \d+[^:]*): (.*)$/s.exec(detail);
  const place = match?.[1] ?? '';
  return { place: place.charAt(0).toUpperCase() + place.slice(1), text: match?.[2] ?? detail };
}

/** Everything that is wrong in a file, line by line, to be mended there and taken in again. Nothing of it was kept. */
export function RefusedPanel({ refused }: { readonly refused: RefusedFile }): ReactElement {
  const [isCopied, setCopied] = useState(false);
  const copy = async (): Promise<void> => {
    const text = [refused.name, refused.message, ...refused.details].join('\n');
    if ((await attempt(() => callShell('clipboard.copy', { text }))) !== null) setCopied(true);
  };
  const many = refused.details.length;
  return (
    <section className="law-panel refused" aria-label="File not taken">
      <h2 className="lead">{refused.name} was not taken in</h2>
      <p>{refused.message}</p>
      {many > 0 && (
        <>
          <p className="soft">
            {many} {many === 1 ? 'place' : 'places'} to mend in the file. Nothing of it was kept.
          </p>
          {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a long list is scrolled with the arrow keys */}
          <ol className="law-scroll" tabIndex={0}>
            {refused.details.map((detail) => {
              const { place, text } = placeAndText(detail);
              return (
                <li key={detail}>
                  <b>{place}</b>
                  <span>{text}</span>
                </li>
              );
            })}
          </ol>
        </>
      )}
      <div className="pair refused-keys">
        <button type="button" className="key" onClick={() => void copy()}>
          {isCopied ? 'Copied' : 'Copy the list'}
        </button>
        <button type="button" className="key" onClick={() => refusedFile.set(null)}>
          Put away
        </button>
      </div>
      <button type="button" className="key main next" onClick={() => void importFile()}>
        Take in the mended file
      </button>
    </section>
  );
}
