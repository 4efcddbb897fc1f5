/** What the rig says while its screen is open: reading, statistics and log, asked for one after the other. */
import { useEffect, useState } from 'react';
import type { LinkStatistics, LiveReading } from '../../../src/contract/commands.ts';
import { callCore } from '../../bridge/calls.ts';

export interface LogLine {
  readonly at: string;
  readonly text: string;
}

export interface Live {
  readonly reading: LiveReading | null;
  readonly statistics: LinkStatistics | null;
  readonly log: readonly LogLine[];
  readonly limits: Readonly<Record<string, number>> | null;
}

const pauseMs = 300;
const nothingKnown: Live = { reading: null, statistics: null, log: [], limits: null };

/**
 * @param rigSerial the connected rig, null = none
 * @param mayRead false while something moves or measures: the meter then belongs to that
 */
export function useLive(rigSerial: string | null, mayRead: boolean): Live {
  const [live, setLive] = useState<Live>(nothingKnown);
  useEffect(() => {
    let isOpen = true;
    let timer: ReturnType<typeof setTimeout> | undefined;
    // A value that cannot be had now is a gap, shown as a dash; the line's own trouble is told by the snapshot.
    const orGap = <T>(call: Promise<T>): Promise<T | null> => call.catch(() => null);
    const look = async (): Promise<void> => {
      const log = await orGap(callCore('rig.log', {}));
      const reading = rigSerial !== null && mayRead ? await orGap(callCore('rig.read', {})) : null;
      const statistics = rigSerial === null ? null : await orGap(callCore('rig.statistics', {}));
      if (!isOpen) return;
      setLive((now) => ({ ...now, reading, statistics, log: log ?? now.log }));
      timer = setTimeout(() => void look(), pauseMs);
    };
    void look();
    return () => {
      isOpen = false;
      clearTimeout(timer);
    };
  }, [rigSerial, mayRead]);

  useEffect(() => {
    let isOpen = true;
    setLive((now) => ({ ...now, limits: null, statistics: null }));
    if (rigSerial === null) return;
    callCore('rig.limits', {}).then(
      (limits) => {
        if (isOpen) setLive((now) => ({ ...now, limits }));
      },
      // The limits are then shown as not known.
      () => {},
    );
    return () => {
      isOpen = false;
    };
  }, [rigSerial]);

  return live;
}
