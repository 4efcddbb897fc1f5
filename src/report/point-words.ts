/** Law points in words: by the mark of the printed scale where one stands there, else by travel. */
import type { VerdictWord } from '../archive/records.ts';
import type { LawData } from '../law/law.ts';
import { fixed } from './format.ts';

/** A mark belongs to a travel when it is closer than this, mm (a printed line is about as wide). */
const markReachMm = 0.3;

/** A mark as it is set: a true minus before a number. */
export function markText(text: string): string {
  return text.replace(/^-(?=\d)/, '−');
}

/** Text of the scale mark at a travel, or null. */
export function markAt(law: LawData, travelMm: number): string | null {
  let best: { text: string; distanceMm: number } | null = null;
  for (const mark of law.marks) {
    const distanceMm = Math.abs(mark.travelMm - travelMm);
    if (distanceMm <= markReachMm && (best === null || distanceMm < best.distanceMm)) {
      best = { text: markText(mark.text), distanceMm };
    }
  }
  return best?.text ?? null;
}

/** `mark −20 at 48.0 mm`, or `48.0 mm` where the scale has no mark. */
export function pointWords(law: LawData, travelMm: number): string {
  const mark = markAt(law, travelMm);
  return mark === null ? `${fixed(travelMm, 1)} mm` : `mark ${mark} at ${fixed(travelMm, 1)} mm`;
}

/** A positive deviation means more loss than the law asks for: quieter; `too` quiet only where it is not allowed. */
export function deviationSense(deviationDb: number, zone: VerdictWord = 'fail'): string {
  if (zone === 'pass') return deviationDb > 0 ? 'quieter' : 'louder';
  return deviationDb > 0 ? 'too quiet' : 'too loud';
}
