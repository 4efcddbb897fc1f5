/** Whose track the hands are at: from the moment that cuts are asked for, nothing else may move the carriage. */
import { HandsInError } from './trim-errors.ts';

export class HandsLock {
  #serial: string | null = null;

  get serial(): string | null {
    return this.#serial;
  }

  take(serial: string): void {
    this.#serial = serial;
  }

  /** Another piece's hands stay where they are. */
  release(serial: string): void {
    if (this.#serial === serial) this.#serial = null;
  }

  /** @throws HandsInError */
  refuseMotion(): void {
    if (this.#serial !== null) throw new HandsInError(this.#serial);
  }

  /** What is asked of the piece itself, e.g. its measurement, is for its own rules. @throws HandsInError */
  refuseOther(serial: string): void {
    if (this.#serial !== serial) this.refuseMotion();
  }
}
