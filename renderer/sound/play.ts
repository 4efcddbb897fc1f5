/** Plays a cue through the computer's own sound. */
import { type CueName, cues } from './cues.ts';

const loudness = 0.12;
/** Rise and fall of every note, so that none clicks. */
const edgeS = 0.012;

let output: AudioContext | null = null;

export function playCue(name: CueName): void {
  output ??= new AudioContext();
  const context = output;
  // A window that nobody has touched yet stays silent; the first key or click wakes it.
  if (context.state === 'suspended') void context.resume();
  const beginS = context.currentTime + 0.02;
  for (const note of cues[name]) {
    const fromS = beginS + note.atMs / 1_000;
    const toS = fromS + note.lastsMs / 1_000;
    const tone = context.createOscillator();
    const level = context.createGain();
    tone.type = 'sine';
    tone.frequency.setValueAtTime(note.fromHz, fromS);
    tone.frequency.linearRampToValueAtTime(note.toHz, toS);
    level.gain.setValueAtTime(0, fromS);
    level.gain.linearRampToValueAtTime(loudness, fromS + edgeS);
    level.gain.setValueAtTime(loudness, Math.max(fromS + edgeS, toS - edgeS));
    level.gain.linearRampToValueAtTime(0, toS);
    tone.connect(level).connect(context.destination);
    tone.start(fromS);
    tone.stop(toS + edgeS);
  }
}
