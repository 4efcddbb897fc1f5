import type { Clock } from './clock.ts';

interface Pending {
  readonly dueMs: number;
  readonly order: number;
  readonly run: () => void;
}

/** Nothing is left that could settle the promise: the code under test hangs. */
export class VirtualClockIdleError extends Error {
  override readonly name = 'VirtualClockIdleError';
  readonly code = 'virtualClockIdle';
  readonly userFixable = false;

  constructor(nowMs: number) {
    super(`At ${nowMs} ms of virtual time nothing is due any more, yet the awaited promise has not settled.`);
  }
}

/** Time that stands still until everything ready has run and then jumps to the next due moment. Deterministic. */
export class VirtualClock implements Clock {
  private time = 0;
  private counter = 0;
  /** Binary heap by due time, then by order of asking. */
  private readonly heap: Pending[] = [];
  private readonly cancelled = new Set<Pending>();

  nowMs(): number {
    return this.time;
  }

  after(delayMs: number, run: () => void): () => void {
    const pending: Pending = { dueMs: this.time + Math.max(0, delayMs), order: this.counter++, run };
    this.push(pending);
    return () => {
      this.cancelled.add(pending);
    };
  }

  /**
   * Runs due moments one after another until `promise` settles and gives its result. Between two moments all
   * microtasks, `process.nextTick` and stream turns are let through.
   * @throws VirtualClockIdleError when nothing is due any more; whatever the promise rejects with
   */
  async runUntil<T>(promise: Promise<T>): Promise<T> {
    let settled = false;
    promise.then(
      () => {
        settled = true;
      },
      () => {
        settled = true;
      },
    );
    for (;;) {
      await this.letOthersRun();
      if (settled) return promise;
      if (!this.step()) throw new VirtualClockIdleError(this.time);
    }
  }

  /** Lets `durationMs` pass. */
  async advance(durationMs: number): Promise<void> {
    const untilMs = this.time + durationMs;
    for (;;) {
      await this.letOthersRun();
      const next = this.peek();
      if (!next || next.dueMs > untilMs) break;
      this.step();
    }
    this.time = untilMs;
  }

  private async letOthersRun(): Promise<void> {
    // Streams hand on in several turns (nextTick, microtask, immediate); three immediates cover a pipe of transforms.
    for (let i = 0; i < 3; i++) await new Promise<void>((resolve) => setImmediate(resolve));
  }

  private step(): boolean {
    const next = this.pop();
    if (!next) return false;
    this.time = Math.max(this.time, next.dueMs);
    next.run();
    return true;
  }

  private peek(): Pending | null {
    for (;;) {
      const first = this.heap[0];
      if (!first) return null;
      if (!this.cancelled.delete(first)) return first;
      this.popRaw();
    }
  }

  private pop(): Pending | null {
    const first = this.peek();
    if (first) this.popRaw();
    return first;
  }

  private push(pending: Pending): void {
    const heap = this.heap;
    heap.push(pending);
    let at = heap.length - 1;
    while (at > 0) {
      const parent = (at - 1) >> 1;
      const above = heap[parent];
      if (!above || !before(pending, above)) break;
      heap[at] = above;
      at = parent;
    }
    heap[at] = pending;
  }

  private popRaw(): void {
    const heap = this.heap;
    const last = heap.pop();
    if (!last || heap.length === 0) return;
    let at = 0;
    for (;;) {
      let child = 2 * at + 1;
      const left = heap[child];
      if (!left) break;
      const right = heap[child + 1];
      let smaller = left;
      if (right && before(right, left)) {
        smaller = right;
        child++;
      }
      if (!before(smaller, last)) break;
      heap[at] = smaller;
      at = child;
    }
    heap[at] = last;
  }
}

function before(a: Pending, b: Pending): boolean {
  return a.dueMs < b.dueMs || (a.dueMs === b.dueMs && a.order < b.order);
}
