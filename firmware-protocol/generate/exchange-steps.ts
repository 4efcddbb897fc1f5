/** The vocabulary in which exchanges are written down. */
import { formatLine, type WireLineDraft } from '../codec/line.ts';
import type { ExchangeStep, Expected } from './vector-types.ts';

export const order = (number: number, word: string, fields: Record<string, number> = {}): string =>
  formatLine({ kind: 'order', number, word, fields });
export const express = (number: number, word: string): string => formatLine({ kind: 'express', number, word });
export const exactly = (draft: WireLineDraft): Expected => ({ exact: formatLine(draft) });
export const refused = (number: number, word: string, at?: string): Expected =>
  exactly({ kind: 'refusal', number, word, ...(at === undefined ? {} : { texts: { at } }) });
export const working = (number: number): Expected => exactly({ kind: 'working', number });
export const answered = (number: number, fields: Record<string, number> = {}): Expected => ({
  like: { kind: 'answer', number, fields },
});
export const send = (line: string, ...expect: Expected[]): ExchangeStep => ({ send: line, expect });
export const wait = (...expect: Expected[]): ExchangeStep => ({ expect });

export const greet = (number: number): ExchangeStep =>
  send(order(number, 'hello', { v: 1 }), answered(number, { v: 1 }));
/** Half a second of work without motion. */
export const longSense = (number: number): string => order(number, 'sense', { t: 20_000, n: 25 });
export const shortSense = (number: number): string => order(number, 'sense', { t: 20_000, n: 1 });
export const power = (number: number, on: 0 | 1, m: number): ExchangeStep =>
  send(order(number, 'power', { on }), answered(number, { m, o: number }));
export const home = (number: number): ExchangeStep =>
  send(order(number, 'home'), answered(number, { m: 2, o: number }));
export const slow = { v: 10_000, a: 500, j: 0 };
export const visit = (number: number, x: number): string =>
  order(number, 'visit', { x, ...slow, up: 1, w: 0, t: 20_000, n: 1 });
export const glide = (number: number): string => order(number, 'glide', { x: 50_000, ...slow, e: 20_000 });
export const ready: readonly ExchangeStep[] = [greet(0x0010), power(0x0011, 1, 1), home(0x0012)];
