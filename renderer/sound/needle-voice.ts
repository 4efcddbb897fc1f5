/** Sounds the live needle's tone through the computer's own sound, as long as it is told to. */
import { type NeedleTone, needleTone } from './needle-tone.ts';

const loudness = 0.12;
const edgeS = 0.012;
const noteS = 0.07;
const lookAheadS = 0.15;

export interface NeedleVoice {
  /** Changes what is heard. @param nearness see `needleTone`; null = silence */
  say(nearness: number | null): void;
  end(): void;
}

export function startNeedleVoice(): NeedleVoice {
  const context = new AudioContext();
  const oscillator = context.createOscillator();
  const level = context.createGain();
  oscillator.type = 'triangle';
  level.gain.value = 0;
  oscillator.connect(level).connect(context.destination);
  oscillator.start();
  let tone: NeedleTone | null = null;
  let nextBeatS = 0;

  /** Beats are written a little ahead on the sound's own clock: the window may be late without a stumble. */
  const writeBeats = (): void => {
    if (tone === null || tone.beatMs === null) return;
    const untilS = context.currentTime + lookAheadS;
    for (
      nextBeatS = Math.max(nextBeatS, context.currentTime + 0.02);
      nextBeatS < untilS;
      nextBeatS += tone.beatMs / 1_000
    ) {
      level.gain.setValueAtTime(0, nextBeatS);
      level.gain.linearRampToValueAtTime(loudness, nextBeatS + edgeS);
      level.gain.setValueAtTime(loudness, nextBeatS + noteS - edgeS);
      level.gain.linearRampToValueAtTime(0, nextBeatS + noteS);
    }
  };
  const timer = setInterval(writeBeats, 50);

  return {
    say(nearness) {
      const before = tone;
      tone = needleTone(nearness);
      const nowS = context.currentTime;
      if (tone !== null) oscillator.frequency.setTargetAtTime(tone.hz, nowS, 0.02);
      const isHeld = tone !== null && tone.beatMs === null;
      const wasHeld = before !== null && before.beatMs === null;
      if (isHeld !== wasHeld || tone === null) {
        level.gain.cancelScheduledValues(nowS);
        level.gain.setTargetAtTime(isHeld ? loudness : 0, nowS, edgeS);
        nextBeatS = nowS + 0.05;
      }
      writeBeats();
    },
    end() {
      clearInterval(timer);
      void context.close();
    },
  };
}
