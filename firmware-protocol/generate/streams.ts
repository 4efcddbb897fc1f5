/** Bytes as they may come, and the good lines that a reader must find in them. */
import { formatLine } from '../codec/line.ts';
import type { StreamVector } from './vector-types.ts';

export function streams(): StreamVector[] {
  const beat = formatLine({ kind: 'express', number: 1, word: 'beat' });
  const home = formatLine({ kind: 'order', number: 2, word: 'home' });
  const sense = formatLine({ kind: 'order', number: 3, word: 'sense', fields: { t: 20_000, n: 16 } });
  const stream = (name: string, bytes: string, ...lines: string[]): StreamVector => ({
    name,
    bytes,
    lines: lines.map((line) => line.slice(0, -1)),
  });
  return [
    stream('three lines', beat + home + sense, beat, home, sense),
    stream('lone LFs between lines', `\n${beat}\n\n${home}`, beat, home),
    stream('rubbish, then a lone LF, then a line', `\u0000\u00ffx>00\n${home}`, home),
    stream('rubbish glued to a line costs that line only', `@@${beat}${home}`, home),
    stream('lost LF costs both lines', beat.slice(0, -1) + home + sense, sense),
    stream('LF changed to a printable byte costs both lines', `${beat.slice(0, -1)}*${home}${sense}`, sense),
    stream('CR LF is refused', `${beat.slice(0, -1)}\r\n${home}`, home),
    stream('LF put into a line', `${sense.slice(0, 9)}\n${sense.slice(9)}${home}`, home),
    stream('a line doubled comes twice', home + home, home, home),
    stream('half a line, then the whole', sense.slice(0, 12) + sense + home, home),
    stream('half a line and its LF, then the whole', `${sense.slice(0, 12)}\n${sense}`, sense),
    stream('1,000 bytes without LF', `${'A'.repeat(1000)}\n${sense}`, sense),
    stream('a good line at the end of a long one', `${'A'.repeat(95)}${sense}${home}`, home),
    stream('last line without its LF is not there yet', home + sense.slice(0, -1), home),
  ];
}
