/** What the line has done since it was opened. Counts are whole lines. */
export interface LinkStatistics {
  readonly linesIn: number;
  readonly linesOut: number;
  /** Lines thrown away because of checksum or form. */
  readonly badLines: number;
  /** Orders sent again with the same number. */
  readonly retransmissions: number;
  /** Answers, events and samples that came twice and were taken once. */
  readonly duplicatesIgnored: number;
  /** Samples missing from glides. */
  readonly samplesMissing: number;
  /** Round trips of the express lane, milliseconds; null before the first one. */
  readonly roundTripMedianMs: number | null;
  readonly roundTripP99Ms: number | null;
}

/** Recent round trips kept for the quantiles. */
const ROUND_TRIPS_KEPT = 1024;

export class LinkCounters {
  linesIn = 0;
  linesOut = 0;
  badLines = 0;
  retransmissions = 0;
  duplicatesIgnored = 0;
  samplesMissing = 0;
  #roundTripsMs: number[] = [];
  #oldest = 0;

  noteRoundTrip(elapsedMs: number): void {
    this.#roundTripsMs[this.#oldest] = elapsedMs;
    this.#oldest = (this.#oldest + 1) % ROUND_TRIPS_KEPT;
  }

  snapshot(): LinkStatistics {
    const sorted = this.#roundTripsMs.toSorted((a, b) => a - b);
    const quantile = (share: number): number | null => sorted[Math.floor(share * (sorted.length - 1))] ?? null;
    return {
      linesIn: this.linesIn,
      linesOut: this.linesOut,
      badLines: this.badLines,
      retransmissions: this.retransmissions,
      duplicatesIgnored: this.duplicatesIgnored,
      samplesMissing: this.samplesMissing,
      roundTripMedianMs: quantile(0.5),
      roundTripP99Ms: quantile(0.99),
    };
  }
}
