import { type ReactElement, useEffect, useRef } from 'react';
import { callShell } from '../../bridge/calls.ts';
import { attempt } from '../../bridge/station.ts';
import { type ExportScope, exportKinds, reportKind } from './export-plan.ts';
import { type ExportState, useExport } from './use-export.ts';

interface ExportPanelProps {
  readonly scope: ExportScope;
  /** The batch a report can be made of; null = none. */
  readonly batch: string | null;
  readonly onClose: () => void;
}

export function ExportPanel({ scope, batch, onClose }: ExportPanelProps): ReactElement {
  const dialog = useRef<HTMLDialogElement>(null);
  const { state, write, again } = useExport(scope, batch);
  useEffect(() => dialog.current?.showModal(), []);
  const kinds = batch === null ? exportKinds : [...exportKinds, reportKind];
  const title =
    scope.kind === 'run'
      ? `Write run of ${scope.run.serial}`
      : `Write ${scope.total} found ${scope.total === 1 ? 'run' : 'runs'}`;
  return (
    <dialog
      ref={dialog}
      className="export-panel"
      aria-labelledby="export-title"
      onClose={onClose}
      // Escape puts the panel away; it must not reach the frame, where it stops a run.
      onKeyDown={(event) => {
        if (event.key === 'Escape') event.stopPropagation();
      }}
    >
      <h2 id="export-title" className="lead">
        {title}
      </h2>
      {state.kind === 'choosing' ? (
        <ul className="export-kinds">
          {kinds.map((kind) => (
            <li key={kind.what}>
              <button type="button" className="key" onClick={() => void write(kind)}>
                {kind.name}
                <span className="cap">{kind.extension}</span>
              </button>
              <p className="soft">{kind.what === 'report' ? `${kind.sentence} (${batch})` : kind.sentence}</p>
            </li>
          ))}
        </ul>
      ) : (
        <Progress state={state} />
      )}
      <div className="pair export-foot">
        {state.kind === 'written' && (
          <button type="button" className="key" onClick={again}>
            Write more
          </button>
        )}
        <button type="button" className="key" onClick={() => dialog.current?.close()}>
          {state.kind === 'writing' ? 'Put away, goes on' : 'Put away'}
        </button>
      </div>
    </dialog>
  );
}

function Progress({ state }: { readonly state: Exclude<ExportState, { kind: 'choosing' }> }): ReactElement {
  if (state.kind === 'writing') {
    const percent = state.fraction === null ? null : Math.round(state.fraction * 100);
    return (
      <div className="export-progress" aria-live="polite">
        <p>Writing {state.name.toLowerCase()}</p>
        <div className="ruler" role="progressbar" aria-label="Written" aria-valuenow={percent ?? undefined}>
          <i style={{ width: `${percent ?? 0}%` }} />
        </div>
        <p className="soft">{percent === null ? 'Beginning' : `${percent} %`}</p>
      </div>
    );
  }
  return (
    <div className="export-progress" aria-live="polite">
      <p>Written: {state.sentence}</p>
      <p className="path">{state.path}</p>
      <div className="pair">
        <button
          type="button"
          className="key"
          onClick={() => void attempt(() => callShell('file.show', { path: state.path }))}
        >
          Show in its folder
        </button>
        <button
          type="button"
          className="key"
          onClick={() => void attempt(() => callShell('clipboard.copy', { text: state.path }))}
        >
          Copy the place
        </button>
      </div>
    </div>
  );
}
