/** The figures of a batch, read anew whenever a piece of it changes. */
import { useEffect, useState } from 'react';
import type { TrimBatch } from '../../../../src/contract/trim.ts';
import { callCore } from '../../../bridge/calls.ts';
import { lifeStore, showTrouble, trimPieceStore } from '../../../bridge/station.ts';
import { useStore } from '../../../bridge/store.ts';

/** Null while it is not known. @param name '' = no batch */
export function useBatch(name: string): TrimBatch | null {
  const piece = useStore(trimPieceStore);
  const isCoreThere = useStore(lifeStore).state === 'running';
  const [batch, setBatch] = useState<TrimBatch | null>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: a changed piece is the reason to ask again
  useEffect(() => {
    if (name === '' || !isCoreThere) {
      setBatch(null);
      return;
    }
    let isWanted = true;
    callCore('trim.batch', { batch: name }).then(
      (read) => {
        if (isWanted) setBatch(read);
      },
      (error: unknown) => {
        if (isWanted) showTrouble(error);
      },
    );
    return () => {
      isWanted = false;
    };
  }, [name, isCoreThere, piece]);
  return batch;
}
