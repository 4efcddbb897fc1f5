import { useVirtualizer } from '@tanstack/react-virtual';
import { type KeyboardEvent, type ReactElement, useEffect, useRef } from 'react';
import { useStore } from '../../bridge/store.ts';
import { FoundRow } from './FoundRow.tsx';
import { openRunId } from './faders-state.ts';
import type { Found } from './found.ts';
import { laidOver, toggleLaidOver } from './lay-over.ts';

/** A fingertip and the line below it, on large screens too. */
export const rowPx = 57;

/** One line a run, newest first; only what is in view exists. Arrow keys open the next one. */
export function FoundList({ found }: { readonly found: Found }): ReactElement {
  const place = useRef<HTMLDivElement>(null);
  const open = useStore(openRunId);
  const { runs } = useStore(laidOver);
  const laid = new Set(runs.map((run) => run.runId));
  const rows = useVirtualizer({
    count: found.total ?? 0,
    getScrollElement: () => place.current,
    estimateSize: () => rowPx,
    overscan: 8,
  });
  const items = rows.getVirtualItems();
  const [first, last] = [items[0]?.index ?? 0, items.at(-1)?.index ?? 0];
  useEffect(() => found.show(first, last));

  const atNow = useRef(0);
  const goTo = (index: number): void => {
    const wanted = Math.min(Math.max(0, index), (found.total ?? 1) - 1);
    const run = found.rowAt(wanted);
    rows.scrollToIndex(wanted);
    if (run === null) return;
    atNow.current = wanted;
    openRunId.set(run.runId);
  };
  const onKeyDown = (event: KeyboardEvent): void => {
    const pageRows = Math.max(1, Math.floor((place.current?.clientHeight ?? rowPx) / rowPx) - 1);
    const steps: Readonly<Record<string, number>> = {
      ArrowDown: 1,
      ArrowUp: -1,
      PageDown: pageRows,
      PageUp: -pageRows,
      Home: Number.NEGATIVE_INFINITY,
      End: Number.POSITIVE_INFINITY,
    };
    const step = steps[event.key];
    if (step !== undefined) goTo(open === null ? 0 : atNow.current + step);
    else if (event.key === ' ' || event.key === 'Enter') {
      const run = found.rowAt(atNow.current);
      if (run === null) return;
      if (event.key === ' ') toggleLaidOver(run);
      else openRunId.set(run.runId);
    } else return;
    event.preventDefault();
  };

  return (
    // biome-ignore lint/a11y/useSemanticElements: rows are placed by hand, only those in view exist
    <div
      ref={place}
      className="found-list"
      role="list"
      aria-label="Found runs; arrow keys open the next one, space lays it over"
      // biome-ignore lint/a11y/noNoninteractiveTabindex: one stop for the whole list, arrow keys go along it
      tabIndex={0}
      onKeyDown={onKeyDown}
    >
      <div className="found-height" role="presentation" style={{ height: rows.getTotalSize() }}>
        {items.map((item) => (
          // biome-ignore lint/a11y/useSemanticElements: see above
          <div
            key={item.key}
            role="listitem"
            aria-posinset={item.index + 1}
            aria-setsize={found.total ?? 0}
            className="found-place"
            style={{ top: item.start, height: item.size }}
          >
            <FoundRow run={found.rowAt(item.index)} openId={open} laid={laid} onOpen={() => goTo(item.index)} />
          </div>
        ))}
      </div>
    </div>
  );
}
