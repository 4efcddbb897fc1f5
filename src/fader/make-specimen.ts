import type { Fault } from './faults.ts';
import { formatLot, type Lot, serialInLot } from './lot.ts';
import type { Finish, FinishShares, PartParameters, SpecimenParameters } from './parameters.ts';
import type { Random } from './random.ts';
import { formatSerialNumber } from './serial-number.ts';
import { type SheetPosition, sheetPositionOf, sheetShapes } from './sheet.ts';
import type { Finger, Specimen, Wiper } from './specimen.ts';
import type { TargetProfile } from './target-profile.ts';
import { type Ink, printTrack, type Track } from './track.ts';

export interface SpecimenRecipe {
  readonly lot: Lot;
  /** Place in the population, 0, 1, 2 ... */
  readonly index: number;
  readonly part: PartParameters;
  readonly target: TargetProfile;
  readonly parameters: SpecimenParameters;
  readonly finish: Finish;
  readonly faults: readonly Fault[];
}

const wholeSpread: FinishShares = { level: 1, batch: 1, withinSheet: 1, slope: 1, ripple: 1, ink: 1, joint: 1 };

/**
 * Makes one fader. `random` belongs to the whole population: lot, sheet and fader draw from their own sub-streams, so
 * that a fader of a given index is the same however many others there are and in whatever order they are made.
 */
export function makeSpecimen(recipe: SpecimenRecipe, random: Random): Specimen {
  const { parameters, part, faults } = recipe;
  const serial = serialInLot(recipe.lot, recipe.index);
  const sheet = sheetPositionOf(serial.running);
  const lotStream = random.sub('lot', formatLot(recipe.lot));
  const own = lotStream.sub('fader', recipe.index);
  const sheetStream = lotStream.sub('sheet', sheet.sheet);
  const process = {
    powderPercent: sheetStream.bounded(0, parameters.track.powderSdPercent),
    cureSeconds: sheetStream.bounded(0, parameters.track.cureSdSeconds),
  };
  const track = makeTrack(recipe, sheet, process, lotStream.sub('sheetFields'), sheetStream, own.sub('track'));
  const ends = own.sub('ends');
  const { commonLeadOhm } = parameters.track;
  const { endOhm } = part;
  const extraEnd = (end: 'closed' | 'open'): number =>
    faults.reduce((sum, f) => (f.kind === 5 && f.end === end ? sum + f.ohm : sum), 0);
  const slide = own.sub('slide');
  const { wiper } = parameters;
  const bearing = faults.find((f) => f.kind === 12);
  const clamping = faults.find((f) => f.kind === 14);
  return {
    index: recipe.index,
    serial: formatSerialNumber(serial),
    sheet,
    process,
    track,
    ends: {
      closedOhm: ends.uniform(...endOhm) + extraEnd('closed'),
      openOhm: ends.uniform(...endOhm) + extraEnd('open'),
      commonLeadOhm: ends.uniform(...commonLeadOhm),
      swapped: faults.some((f) => f.kind === 6),
    },
    wiper: makeWiper(recipe, own.sub('wiper')),
    slide: {
      travelMm: slide.bounded(part.travelMm, parameters.track.travelSdMm),
      playMm: faults.find((f) => f.kind === 13)?.playMm ?? slide.uniform(...wiper.playMm),
      frictionN: wiper.frictionN * (1 + slide.bounded(0, wiper.frictionSd)),
      frictionRipple: wiper.frictionRipple * (bearing?.rippleFactor ?? 1),
      stickSlipMm: bearing?.stickSlipMm ?? 0,
    },
    clamping: { shiftMm: clamping?.shiftMm ?? 0, giveMm: clamping?.giveMm ?? 0 },
    faults,
  };
}

function makeTrack(
  recipe: SpecimenRecipe,
  sheet: SheetPosition,
  process: { readonly powderPercent: number; readonly cureSeconds: number },
  lot: Random,
  sheetStream: Random,
  own: Random,
): Track {
  const { part, faults } = recipe;
  const { track: usual, trimming, delivered } = recipe.parameters;
  const spread = recipe.finish === 'trimming' ? { ...usual, ...trimming } : usual;
  const printed = recipe.finish !== 'delivered';
  const shares = scaled(printed ? wholeSpread : delivered, part.spreadScale);
  const base = 1 + ((printed ? spread.printLevel : shares.level) - 1) * part.spreadScale;
  // Part of each spread is a smooth field over the sheet that the whole lot shares, the rest is the track's own.
  const field = (stream: Random, fieldShare: number, sd: number, pointing: number): number => {
    const shapes = sheetShapes(sheet);
    const smooth = shapes.reduce((sum, shape) => sum + shape * stream.bounded(0, 1), 0) / Math.sqrt(shapes.length);
    return sd * (Math.sqrt(fieldShare) * smooth * pointing + Math.sqrt(1 - fieldShare) * own.bounded(0, 1));
  };
  const level =
    base *
    (1 + shares.batch * lot.sub('batch').bounded(0, spread.batchSd)) *
    (1 + shares.withinSheet * field(lot.sub('mean'), 0.7, spread.withinSheetSd, 1)) *
    (1 + shares.batch * spread.perPercentPowder * process.powderPercent) *
    (1 + shares.batch * spread.perTenSecondsCure * (process.cureSeconds / 10));
  const slopePerMm = (shares.slope * field(lot.sub('slope'), 0.6, spread.slopeSdPer100Mm, sheet.pointing)) / 100;
  const faultSlope = faults.reduce((sum, f) => (f.kind === 2 ? sum + f.fraction / part.travelMm : sum), 0);
  const inkOfLot = lot.sub('ink');
  const inkOfSheet = sheetStream.sub('ink');
  const inkFactor = [0, 1, 2].map((ink) => {
    const deviation = Math.sqrt(0.7) * inkOfLot.bounded(0, 1) + Math.sqrt(0.3) * inkOfSheet.bounded(0, 1);
    const wrong = faults.reduce((factor, f) => (f.kind === 1 && f.ink === ink ? factor * f.factor : factor), 1);
    return (1 + shares.ink * (spread.inkSd / Math.SQRT2) * deviation) * wrong;
  });
  const joint = (nominalMm: number): number => nominalMm + shares.joint * own.bounded(0, spread.jointSdMm);
  const jointMm: [number, number] = [joint(part.jointMm[0]), joint(part.jointMm[1])];
  const edgeHalfMm = spread.edgeHalfRangeMm * part.spreadScale;
  const edge = (nominalMm: number): number => nominalMm + own.uniform(-edgeHalfMm, edgeHalfMm);
  const tcr = (): number => spread.tcrPerK + own.uniform(-1, 1) * (spread.inkTcrHalfRangePerK / 2);
  const ripple = makeRipple(part.travelMm, shares.ripple * spread.rippleSd, spread.rippleCorrelationMm, own);
  const middleMm = part.travelMm / 2;
  const local = localFactors(faults);
  return printTrack({
    target: recipe.target,
    nominalOhm: part.nominalOhm,
    closedEdgeMm: edge(recipe.target.closedEdgeMm),
    openEdgeMm: edge(recipe.target.openEdgeMm),
    nominalJointMm: part.jointMm,
    jointMm,
    tcrPerK: [tcr(), tcr(), tcr()],
    breakMm: local.flatMap((f) => [f.fromMm, f.toMm]),
    factorAt(travelMm: number, ink: Ink): number {
      let factor = level * (inkFactor[ink] ?? 1) * (1 + (slopePerMm + faultSlope) * (travelMm - middleMm));
      factor *= ripple(travelMm);
      for (const f of local) if (travelMm >= f.fromMm && travelMm <= f.toMm) factor *= f.factor;
      return Math.max(factor, 0.01);
    },
  });
}

function scaled(shares: FinishShares, scale: number): FinishShares {
  return {
    level: shares.level,
    batch: shares.batch * scale,
    withinSheet: shares.withinSheet * scale,
    slope: shares.slope * scale,
    ripple: shares.ripple * scale,
    ink: shares.ink * scale,
    joint: shares.joint * scale,
  };
}

interface LocalFactor {
  readonly fromMm: number;
  readonly toMm: number;
  readonly factor: number;
}

function localFactors(faults: readonly Fault[]): LocalFactor[] {
  return faults.flatMap((f) => {
    if (f.kind !== 3 && f.kind !== 4 && f.kind !== 9) return [];
    const factor = f.kind === 9 ? 1 + f.trackFraction : f.factor;
    return [{ fromMm: f.atMm - f.lengthMm / 2, toMm: f.atMm + f.lengthMm / 2, factor }];
  });
}

/** Log-normal ripple along the track: Gaussian with exponential correlation on 1 mm knots, straight between. */
function makeRipple(
  travelMm: number,
  sd: number,
  correlationMm: readonly [number, number],
  random: Random,
): (travelMm: number) => number {
  const keep = Math.exp(-1 / random.uniform(...correlationMm));
  const fresh = Math.sqrt(1 - keep * keep);
  const knots: number[] = [];
  let value = random.normal();
  for (let mm = 0; mm <= Math.ceil(travelMm) + 1; mm++) {
    knots.push(sd * value);
    value = keep * value + fresh * random.normal();
  }
  return (mm) => {
    const low = Math.min(Math.max(Math.floor(mm), 0), knots.length - 2);
    const a = knots[low] ?? 0;
    const b = knots[low + 1] ?? 0;
    return Math.exp(a + (b - a) * (mm - low));
  };
}

function makeWiper(recipe: SpecimenRecipe, random: Random): Wiper {
  const { part, faults } = recipe;
  const spread = recipe.parameters.wiper;
  const film = faults.find((f) => f.kind === 7);
  const lost = faults.find((f) => f.kind === 11)?.lost ?? 0;
  const worn = faults.find((f) => f.kind === 9);
  const dirt = faults.find((f) => f.kind === 8);
  const lifting = faults.find((f) => f.kind === 10);
  const fingers: Finger[] = [];
  for (let i = 0; i < part.fingers; i++) {
    const ohm = spread.fingerOhm * Math.exp(random.bounded(0, spread.fingerLogSd));
    const offsetMm = random.bounded(0, spread.placeSdMm);
    fingers.push({ ohm: i < lost ? null : ohm, offsetMm, filmShare: random.uniform(0.5, 1.5) });
  }
  const ownFilm = random.uniform(0, spread.filmMax);
  const strokes = random.uniform(...spread.strokesToClean);
  return {
    fingers,
    filmFraction: film ? film.factor - 1 : ownFilm,
    // Heavy film needs more strokes; four times as many is an estimate.
    strokesToClean: film ? 4 * strokes : strokes,
    scatterSd: spread.scatterSd,
    scatterCorrelationMm: spread.scatterCorrelationMm,
    scatterRepeatableShare: spread.scatterRepeatableShare,
    dayToDaySd: spread.dayToDaySd,
    noiseSeed: random.bits(),
    worn: worn
      ? {
          fromMm: worn.atMm - worn.lengthMm / 2,
          toMm: worn.atMm + worn.lengthMm / 2,
          scatterFactor: worn.scatterFactor,
        }
      : null,
    dirt: dirt ? { atMm: dirt.atMm, lengthMm: dirt.lengthMm, ohm: dirt.ohm, vanishChance: dirt.vanishChance } : null,
    lifting: lifting ? { perMm: lifting.perMm, lengthMm: lifting.lengthMm } : null,
  };
}
