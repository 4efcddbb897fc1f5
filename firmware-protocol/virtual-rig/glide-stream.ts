import { modulo32 } from '../codec/reading.ts';
import { formatSample } from '../codec/sample.ts';
import type { Carriage } from './carriage.ts';
import type { Instrument } from './instrument.ts';

/** The samples of one glide, made in order when their time has come. */
export class GlideStream {
  private readonly carriage: Carriage;
  private readonly instrument: Instrument;
  private readonly startUs: number;
  private readonly periodUs: number;
  private readonly total: number;
  private next = 0;
  private trackSum = 0;

  constructor(carriage: Carriage, instrument: Instrument, startUs: number, endUs: number, periodUs: number) {
    this.carriage = carriage;
    this.instrument = instrument;
    this.startUs = startUs;
    this.periodUs = periodUs;
    this.total = Math.ceil((endUs - startUs) / periodUs);
  }

  get made(): number {
    return this.next;
  }

  /** Mean of the track channel so far, counts; null before the first sample. */
  get trackMean(): number | null {
    return this.next === 0 ? null : this.trackSum / this.next;
  }

  /** Lines of all samples whose conversion has ended by `untilUs`, as one text. */
  due(untilUs: number): string {
    let text = '';
    while (this.next < this.total) {
      const middleUs = this.startUs + (this.next + 0.5) * this.periodUs;
      if (middleUs + this.periodUs / 2 > untilUs) break;
      this.carriage.advance(middleUs);
      const { wiper, track } = this.instrument.sample(middleUs, this.periodUs);
      this.trackSum += track;
      text += formatSample({
        counter: this.next,
        positionUm: Math.round(this.carriage.positionUm(middleUs)),
        clockUs: modulo32(middleUs),
        wiperCounts: wiper,
      });
      this.next++;
    }
    return text;
  }
}
