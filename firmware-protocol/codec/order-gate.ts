/**
 * The rig's side of numbering: decides for each line of the station whether it may be executed. At most once by
 * construction, whatever the line loses, doubles or delays. State: four small integers and one stored answer line.
 */
import type { WireLine } from './line.ts';

export type GateDecision =
  /** A hello that opens a session: judge its fields, then call `open`; refuse without `open` and nothing has changed. */
  | { readonly act: 'greet' }
  /** The next order: its number is used up now; do it once, then call `finish` with the line that answers it. */
  | { readonly act: 'execute' }
  /** Send this stored line again, byte for byte. */
  | { readonly act: 'repeat'; readonly answer: string }
  /** The order is still in work: send `%`. */
  | { readonly act: 'working' }
  /** An express line of an open session. */
  | { readonly act: 'express' }
  | { readonly act: 'refuse'; readonly code: 'asleep' | 'turn' | 'busy' }
  /** Not a line of a station. */
  | { readonly act: 'ignore' };

const next = (number: number): number => (number + 1) % 65_536;

export class OrderGate {
  private start: number | null = null;
  private last = 0;
  private stored: string | null = null;

  /** False until a hello was answered, and again after `reset`. */
  get hasSession(): boolean {
    return this.start !== null;
  }

  /** Number of the last accepted order; hello's own number right after hello; 0 without a session. */
  get lastOrder(): number {
    return this.last;
  }

  get inWork(): boolean {
    return this.start !== null && this.stored === null;
  }

  admit(line: WireLine): GateDecision {
    if (line.kind !== 'order' && line.kind !== 'express') return { act: 'ignore' };
    const isHello = line.kind === 'order' && line.word === 'hello';
    if (this.start === null) return isHello ? { act: 'greet' } : { act: 'refuse', code: 'asleep' };
    if (line.kind === 'express') return { act: 'express' };
    const untouched = this.last === this.start;
    if (isHello) {
      if (line.number !== this.start) return { act: 'greet' };
      // The same hello: repeated because its answer was lost, or a copy that comes too late to mean anything.
      return untouched ? this.repeat() : { act: 'refuse', code: 'turn' };
    }
    if (line.number === this.last && !untouched) return this.stored === null ? { act: 'working' } : this.repeat();
    if (line.number !== next(this.last)) return { act: 'refuse', code: 'turn' };
    if (this.stored === null) return { act: 'refuse', code: 'busy' };
    this.last = line.number;
    this.stored = null;
    return { act: 'execute' };
  }

  /** Opens a session with hello's number and answer line. An order still in work is forgotten without an answer. */
  open(number: number, answer: string): void {
    this.start = number;
    this.last = number;
    this.stored = answer;
  }

  /** Ends the order in work with its answer or refusal line. */
  finish(answer: string): void {
    if (!this.inWork) throw new RangeError('No order is in work, so none can be finished.');
    this.stored = answer;
  }

  /** The rig has restarted. */
  reset(): void {
    this.start = null;
    this.last = 0;
    this.stored = null;
  }

  private repeat(): GateDecision {
    return this.stored === null ? { act: 'working' } : { act: 'repeat', answer: this.stored };
  }
}
