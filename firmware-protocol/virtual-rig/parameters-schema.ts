/** The shape of the parameter file and the checks on it. */
import { z } from 'zod';

const range = z
  .tuple([z.number(), z.number()])
  .refine(([low, high]) => low <= high, 'the first must not exceed the second');
const share = z.number().min(0).max(1);
const positive = z.number().positive();
const notNegative = z.number().min(0);

const part = z.strictObject({
  travelMm: positive,
  nominalOhm: positive,
  printedWidthMm: positive,
  fingerSwathMm: positive,
  jointMm: range,
  closedEdgeMm: positive,
  openEdgeMm: positive,
  fingers: z.number().int().min(1).max(32),
  endOhm: range,
  spreadScale: notNegative,
});

const track = z.strictObject({
  printLevel: positive,
  batchSd: share,
  withinSheetSd: share,
  slopeSdPer100Mm: share,
  rippleSd: share,
  rippleCorrelationMm: range,
  inkSd: share,
  jointSdMm: notNegative,
  edgeHalfRangeMm: notNegative,
  commonLeadOhm: range,
  perPercentPowder: z.number(),
  perTenSecondsCure: z.number(),
  powderSdPercent: notNegative,
  cureSdSeconds: notNegative,
  travelSdMm: notNegative,
  tcrPerK: z.number(),
  inkTcrHalfRangePerK: notNegative,
});

const wiper = z.strictObject({
  fingerOhm: positive,
  fingerLogSd: notNegative,
  placeSdMm: notNegative,
  filmMax: notNegative,
  strokesToClean: range,
  scatterSd: share,
  scatterCorrelationMm: positive,
  scatterRepeatableShare: share,
  dayToDaySd: share,
  frictionN: positive,
  frictionRipple: share,
  frictionSd: share,
  playMm: range,
});

const delivered = z.strictObject({
  level: positive,
  batch: notNegative,
  withinSheet: notNegative,
  slope: notNegative,
  ripple: notNegative,
  ink: notNegative,
  joint: notNegative,
});

const trimming = z.strictObject({ rippleSd: share });

const faults = z.strictObject({
  wrongInkFactor: range,
  slopeFraction: range,
  bumpLengthMm: range,
  bumpFactor: range,
  overTrimLengthMm: range,
  overTrimFactor: range,
  endContactOhm: range,
  filmFactor: range,
  dirtLengthMm: range,
  dirtLogOhm: range,
  dirtVanishChance: share,
  wornLengthMm: range,
  wornScatterFactor: range,
  wornTrackFraction: range,
  liftingPerMm: range,
  liftingLengthMm: range,
  lostFingers: range,
  frictionRippleFactor: positive,
  stickSlipMm: range,
  playMm: range,
  clampShiftMm: range,
  clampGiveMm: range,
});

const carriage = z.strictObject({
  stepsPerMm: z.number().int().positive(),
  travelMaxUm: z.number().int().positive(),
  speedMaxUmPerS: z.number().int().positive(),
  accelMaxMmPerS2: z.number().int().positive(),
  jerkMaxMmPerS3: z.number().int().positive(),
  creepSpeedMaxUmPerS: z.number().int().positive(),
  creepAccelMmPerS2: z.number().int().positive().max(500),
  homeSpeedUmPerS: z.number().int().positive(),
  backlashMm: notNegative,
  screwErrorMm: notNegative,
  screwPeriodMm: positive,
  scaleErrorSd: notNegative,
  homeSdMm: notNegative,
  resonanceHz: positive,
  damping: z.number().positive().max(1),
  datumMm: positive,
  datumHalfRangeMm: notNegative,
  forkYieldMm: positive,
  parkUm: z.number().int().min(0),
  lostStepsMm: notNegative,
  positionScaleFault: notNegative,
});

const meter = z.strictObject({
  fullScaleCounts: z.number().int().positive(),
  noiseUv: notNegative,
  noiseAtUs: positive,
  gainErrorSd: notNegative,
  gainDriftSdPerK: notNegative,
  offsetSdUv: notNegative,
  nonLinearity: notNegative,
  inputOhm: positive,
  humMv: notNegative,
  humHarmonics: z.array(notNegative).max(20),
  mainsHz: positive,
  mainsSdHz: notNegative,
  integrationMinUs: z.number().int().positive(),
  integrationMaxUs: z.number().int().positive(),
  conversionsMax: z.number().int().min(1).max(99),
  samplePeriodMinUs: z.number().int().positive(),
  settleUs: notNegative,
  excitationV: positive,
  excitationHalfRange: share,
  sourceOhm: positive,
  seriesReferenceOhm: positive,
  seriesReferenceHalfRange: share,
  gainFault: notNegative,
  offsetFaultUv: notNegative,
});

const afterCalibration = z.strictObject({
  uGain: notNegative,
  uOffsetUv: notNegative,
  uScale: notNegative,
  uZeroMm: notNegative,
  uBacklashMm: notNegative,
  uSeriesReference: notNegative,
});

const temperature = z.strictObject({ meanC: z.number(), halfRangeK: notNegative, driftKPerH: notNegative });
const line = z.strictObject({
  latencyMs: range,
  baud: z.number().int().positive(),
  samplePeriodMinUsAtBaud: z.number().int().positive(),
});

const tool = z.strictObject({
  gainSd: share,
  cutSd: share,
  placeSdMm: notNegative,
  depthStepMm: positive,
});

export const parametersSchema = z.strictObject({
  parts: z.record(z.string(), part),
  track,
  wiper,
  delivered,
  trimming,
  faults,
  carriage,
  meter,
  afterCalibration,
  temperature,
  line,
  tool,
  watchdogUs: z.number().int().positive(),
  watchdogMarginUs: z.number().int().min(0),
});

export type RigParameters = z.infer<typeof parametersSchema>;
