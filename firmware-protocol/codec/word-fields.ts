/** The fields that words are made of, with unit and the range that the protocol allows. */

export interface FieldSpec {
  readonly key: string;
  readonly meaning: string;
  readonly unit: string;
  /** What the protocol allows at most; a rig may allow less (its limits) and then refuses `range` or `travel`. */
  readonly min: number;
  readonly max: number;
  readonly required: boolean;
}

export const field = (key: string, meaning: string, unit: string, min: number, max: number): FieldSpec => ({
  key,
  meaning,
  unit,
  min,
  max,
  required: true,
});

export const flag = (key: string, meaning: string): FieldSpec => field(key, meaning, '0/1', 0, 1);
export const position = (meaning: string): FieldSpec => field('x', meaning, 'um', -99_999, 999_999);
export const speed = field('v', 'speed', 'um/s', 1, 1_000_000);
export const acceleration = field('a', 'acceleration and deceleration', 'mm/s2', 1, 100_000);
export const jerk = field('j', 'jerk; 0 = no limit', 'mm/s3', 0, 10_000_000);
export const integration = field('t', 'integration time of one conversion', 'us', 20, 1_000_000);
export const conversions = field('n', 'conversions', 'count', 1, 99);
