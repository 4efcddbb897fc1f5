/** Lets the live needle be heard as long as it is shown and not muted. */
import { useEffect, useRef } from 'react';
import type { NeedleReading } from '../../../../src/contract/trim.ts';
import { useStore } from '../../../bridge/store.ts';
import { type NeedleVoice, startNeedleVoice } from '../../../sound/needle-voice.ts';
import { isMutedStore } from './trim-state.ts';

/** Heard only while something may be cut. Without a fresh reading it falls silent, and the screen says why. */
export function useNeedleVoice({ state, stop, approach }: NeedleReading): void {
  const isMuted = useStore(isMutedStore);
  const isHeard = !isMuted && (state === 'live' || state === 'stop');
  const nearness = stop ? 1 : approach;
  const voice = useRef<NeedleVoice | null>(null);
  useEffect(() => {
    if (!isHeard) return;
    const started = startNeedleVoice();
    voice.current = started;
    return () => {
      voice.current = null;
      started.end();
    };
  }, [isHeard]);
  useEffect(() => {
    if (isHeard) voice.current?.say(nearness);
  }, [nearness, isHeard]);
}
