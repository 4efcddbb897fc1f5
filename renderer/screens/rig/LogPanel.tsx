import { type ReactElement, useState } from 'react';
import { callShell } from '../../bridge/calls.ts';
import { attempt, troublesStore } from '../../bridge/station.ts';
import { useStore } from '../../bridge/store.ts';
import { Troubles } from '../../frame/Troubles.tsx';
import { clockText } from './clock-text.ts';
import type { LogLine } from './live.ts';

/** Older lines are in the copy; the screen keeps what a person can read. */
const shown = 100;

/**
 * What rig and line do; gives its place to troubles until they are put away, so that they cover no key.
 * @param lines newest first, as the core keeps them
 */
export function LogPanel({ lines }: { readonly lines: readonly LogLine[] }): ReactElement {
  const [isCopied, setIsCopied] = useState(false);
  const hasTroubles = useStore(troublesStore).length > 0;
  const copy = async (): Promise<void> => {
    const text = lines
      .toReversed()
      .map(({ at, text: words }) => `${at} ${words}`)
      .join('\n');
    setIsCopied((await attempt(() => callShell('clipboard.copy', { text }))) !== null);
  };
  if (hasTroubles) return <Troubles place="within" />;
  const numbered = lines.slice(0, shown).map((line, index) => ({ ...line, number: lines.length - index }));
  return (
    <section className="log" aria-label="Log">
      <header>
        <h2 className="engraved">Log, newest first</h2>
        <button type="button" className="key" disabled={lines.length === 0} onClick={() => void copy()}>
          {isCopied ? 'Copied' : `Copy all ${lines.length}`}
        </button>
      </header>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard */}
      <ol tabIndex={0} aria-label="Log lines">
        {numbered.map(({ at, text, number }) => (
          <li key={`${at} ${number}`}>
            <time dateTime={at}>{clockText(at)}</time> {text}
          </li>
        ))}
        {lines.length === 0 && <li className="soft">Nothing yet. What the rig and its line do is written here.</li>}
      </ol>
    </section>
  );
}
