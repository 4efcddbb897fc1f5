/** The station's reading chain: guard, line splitter, parser. */
import { once } from 'node:events';
import { ReadlineParser } from '@serialport/parser-readline';
import { LineGuard, parseLine } from '../../../firmware-protocol/codec/index.ts';

export async function readAll(
  chunks: readonly Uint8Array[],
): Promise<{ good: string[]; dropped: string[]; longest: number; guard: LineGuard }> {
  const guard = new LineGuard();
  const splitter = guard.pipe(new ReadlineParser({ delimiter: '\n', encoding: 'latin1' }));
  const good: string[] = [];
  const dropped: string[] = [];
  let longest = 0;
  splitter.on('data', (text: string) => {
    longest = Math.max(longest, text.length);
    (parseLine(text).ok ? good : dropped).push(text);
  });
  const ended = once(splitter, 'end');
  for (const chunk of chunks) guard.write(Buffer.from(chunk));
  guard.end();
  await ended;
  return { good, dropped, longest, guard };
}
