/** Writes what was chosen to where the person says, and tells how far it is and where it lies. */
import { useEffect, useState } from 'react';
import { callCore, callShell, onCoreEvent } from '../../bridge/calls.ts';
import { attempt } from '../../bridge/station.ts';
import { bytesText, type ExportKind, type ExportScope, fileNameFor, scopeQuery } from './export-plan.ts';

export type ExportState =
  | { readonly kind: 'choosing' }
  | { readonly kind: 'writing'; readonly name: string; readonly fraction: number | null }
  | { readonly kind: 'written'; readonly path: string; readonly sentence: string };

export function useExport(scope: ExportScope, batch: string | null) {
  const [state, setState] = useState<ExportState>({ kind: 'choosing' });
  useEffect(
    () =>
      onCoreEvent((event) => {
        if (event.kind !== 'transfer') return;
        setState((now) => (now.kind === 'writing' ? { ...now, fraction: event.fraction } : now));
      }),
    [],
  );

  const write = async (kind: ExportKind): Promise<void> => {
    const place = await attempt(() =>
      callShell('file.choosePath', {
        title: `Write ${kind.name.toLowerCase()}`,
        suggestedName: fileNameFor(kind, scope, batch),
        filters: [{ name: kind.extension.toUpperCase(), extensions: [kind.extension] }],
      }),
    );
    if (place === null) return;
    setState({ kind: 'writing', name: kind.name, fraction: null });
    const sentence = await attempt(() => carryOut(kind, place.path));
    setState(sentence === null ? { kind: 'choosing' } : { kind: 'written', path: place.path, sentence });
  };

  const carryOut = async (kind: ExportKind, path: string): Promise<string> => {
    if (kind.what === 'report') {
      const { runs, nextSentence } = await callCore('report.write', {
        batch: batch ?? '',
        path,
        title: `Batch ${batch ?? ''}`,
      });
      return `${runs} runs. ${nextSentence}`;
    }
    const { runs, bytes } = await callCore('export.write', { query: scopeQuery(scope), what: kind.what, path });
    return `${runs} ${runs === 1 ? 'run' : 'runs'}, ${bytesText(bytes)}.`;
  };

  return { state, write, again: () => setState({ kind: 'choosing' }) };
}
