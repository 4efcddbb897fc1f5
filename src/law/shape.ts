import * as z from 'zod';

/** Most points and marks a law may have; keeps hostile files small in memory. */
export const MAX_POINTS = 2000;
export const MAX_MARKS = 200;

const quantity = z.number({ error: 'must be a number' });
const text = z.string({ error: 'must be a text' });

const pointShape = z.strictObject({
  travelMm: quantity,
  lossDb: quantity,
  minusDb: quantity,
  plusDb: quantity.nullable(),
  travelTolMm: quantity.optional(),
});

const markShape = z.strictObject({ travelMm: quantity, text });

/** Types and keys of a law; the numbers themselves are judged by the rules. Unknown keys are refused. */
export const lawShape = z.strictObject({
  id: text,
  revision: quantity,
  title: text,
  travelMm: quantity,
  points: z.array(pointShape, { error: 'must be a list of points' }),
  closedMinLossDb: quantity,
  openMaxLossDb: quantity,
  resistance: z.strictObject({ nominalOhm: quantity, toleranceFraction: quantity }),
  loadOhm: quantity.nullable(),
  interpolation: z.enum(['dbLinear', 'stepped'], { error: 'must be "dbLinear" or "stepped"' }),
  marks: z.array(markShape, { error: 'must be a list of marks' }),
  limits: z.strictObject({ maxPlayMm: quantity.optional() }),
});

export type LawShape = z.infer<typeof lawShape>;
