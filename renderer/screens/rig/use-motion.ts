/** Home and park: motions that end by themselves, and the halt that ends any motion. */
import { useCallback, useEffect, useState } from 'react';
import { callCore } from '../../bridge/calls.ts';
import { attempt } from '../../bridge/station.ts';

export interface Motion {
  readonly isMoving: boolean;
  readonly move: (command: 'rig.home' | 'rig.park') => void;
  readonly halt: () => void;
}

export function useMotion(): Motion {
  const [isMoving, setIsMoving] = useState(false);

  const move = useCallback((command: 'rig.home' | 'rig.park'): void => {
    setIsMoving(true);
    void attempt(() => callCore(command, {})).finally(() => setIsMoving(false));
  }, []);
  const halt = useCallback((): void => void attempt(() => callCore('rig.halt', {})), []);

  useEffect(() => {
    if (!isMoving) return;
    const onKey = (event: KeyboardEvent): void => {
      if (event.key === 'Escape') halt();
    };
    window.addEventListener('keydown', onKey, { capture: true });
    return () => window.removeEventListener('keydown', onKey, { capture: true });
  }, [isMoving, halt]);

  return { isMoving, move, halt };
}
