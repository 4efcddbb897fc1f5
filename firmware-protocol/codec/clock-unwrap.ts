/** The rig's clock counts microseconds in 32 bits and comes round every 71.6 minutes. */

const TURN = 4_294_967_296;

/**
 * Turns the 32-bit clock into one number that never comes round. Readings may come slightly out of order; two
 * consecutive ones must lie less than 2^31 us (35.8 min) apart, which the heartbeat sees to.
 */
export class ClockUnwrap {
  private latestUs: number | null = null;

  /** `clockUs` 0..2^32-1; returns microseconds since the clock's zero before the first reading. */
  unwrap(clockUs: number): number {
    if (!Number.isInteger(clockUs) || clockUs < 0 || clockUs >= TURN) {
      throw new RangeError(`The rig clock ${clockUs} is not a whole number of 32 bits.`);
    }
    if (this.latestUs === null) {
      this.latestUs = clockUs;
      return clockUs;
    }
    const ahead = (((clockUs - this.latestUs) % TURN) + TURN) % TURN;
    if (ahead >= TURN / 2) return this.latestUs + ahead - TURN;
    this.latestUs += ahead;
    return this.latestUs;
  }

  /** After the rig has restarted its clock starts anew. */
  reset(): void {
    this.latestUs = null;
  }
}
