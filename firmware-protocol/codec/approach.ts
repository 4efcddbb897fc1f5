/** How a visit reaches its target from the asked side. */

/** How far a visit goes past its target when it has to turn, so that play is taken up. */
export const TAKE_UP_UM = 500;

export interface ApproachInput {
  readonly fromUm: number;
  readonly targetUm: number;
  /** True: the last leg moves towards the open end. */
  readonly up: boolean;
  /** Direction of the last motion; null when unknown. */
  readonly lastUp: boolean | null;
  readonly travelMinUm: number;
  readonly travelMaxUm: number;
}

/**
 * Signed distances (um) of the legs of a visit, each from rest to rest, none to two: straight when the target lies in
 * the asked direction and the way there takes up the play (the carriage came that way already, or goes at least
 * `TAKE_UP_UM`), none when the carriage stands there and came from that side, else past the target by `TAKE_UP_UM`
 * (less where the travel ends) and back.
 */
export function approachLegs(input: ApproachInput): readonly number[] {
  const { fromUm, targetUm, up, lastUp, travelMinUm, travelMaxUm } = input;
  const straight = targetUm - fromUm;
  const cameThatWay = lastUp === up;
  if (straight === 0 && cameThatWay) return [];
  const takesUp = cameThatWay || Math.abs(straight) >= TAKE_UP_UM;
  if (straight !== 0 && straight > 0 === up && takesUp) return [straight];
  const turnUm = up ? Math.max(targetUm - TAKE_UP_UM, travelMinUm) : Math.min(targetUm + TAKE_UP_UM, travelMaxUm);
  return [turnUm - fromUm, targetUm - turnUm].filter((legUm) => legUm !== 0);
}
