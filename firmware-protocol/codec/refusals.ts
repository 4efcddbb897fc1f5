/** Refusals of the rig: what each code means, whether it uses up the order's number, and what the operator can do. */

export type RefusalCode =
  | 'asleep'
  | 'turn'
  | 'busy'
  | 'word'
  | 'field'
  | 'range'
  | 'version'
  | 'estop'
  | 'unpowered'
  | 'halted'
  | 'silent'
  | 'stalled'
  | 'unhomed'
  | 'guard'
  | 'clamp'
  | 'travel'
  | 'fault';

export interface RefusalSpec {
  readonly meaning: string;
  /** What the operator can do; null when only the program can act. */
  readonly operatorAction: string | null;
  /**
   * True: the number is used up and the refusal is stored as its answer. False: nothing was executed or stored, and
   * the rig still waits for the number it waited for before.
   */
  readonly usesNumber: boolean;
  /** When it comes: before anything was done, or also at the end of an order that was cut short. */
  readonly when: 'before' | 'during' | 'both';
}

/** In the order in which a rig checks: of several reasons the first of this table is the answer. */
export const refusals: Readonly<Record<RefusalCode, RefusalSpec>> = {
  asleep: {
    meaning: 'No session: the rig has restarted or was never greeted.',
    operatorAction: null,
    usesNumber: false,
    when: 'before',
  },
  turn: {
    meaning: 'The number is neither the last one nor the next one.',
    operatorAction: null,
    usesNumber: false,
    when: 'before',
  },
  busy: {
    meaning: 'Another order is in work.',
    operatorAction: null,
    usesNumber: false,
    when: 'before',
  },
  version: {
    meaning: 'The rig does not speak the protocol version asked for; `lo` and `hi` say which it speaks.',
    operatorAction: "Update the program, or the rig's firmware, so that both speak a common version.",
    usesNumber: false,
    when: 'before',
  },
  word: {
    meaning: 'The rig does not know this word.',
    operatorAction: "Update the rig's firmware: it is older than this program needs.",
    usesNumber: true,
    when: 'before',
  },
  field: {
    meaning: 'A field is missing or unknown; `at` names it.',
    operatorAction: "Update the rig's firmware or the program: they do not fit together.",
    usesNumber: true,
    when: 'before',
  },
  range: {
    meaning: 'A field is outside what the protocol or this rig allows; `at` names it.',
    operatorAction: 'Choose a speed, acceleration, time or count within the limits of this rig.',
    usesNumber: true,
    when: 'before',
  },
  fault: {
    meaning: 'The rig found itself defective (converter, driver, memory).',
    operatorAction: 'Take the rig out of use and have it looked at; switching it off and on clears the report.',
    usesNumber: true,
    when: 'both',
  },
  estop: {
    meaning: 'The emergency stop is pressed: motor power is cut by hardware.',
    operatorAction: 'Make the place safe, release the emergency stop, then start again; the rig homes anew.',
    usesNumber: true,
    when: 'both',
  },
  unpowered: {
    meaning: 'Motor power is off.',
    operatorAction: 'Switch motor power on at the program.',
    usesNumber: true,
    when: 'before',
  },
  halted: {
    meaning: 'The motion was halted, or motion is locked since a halt until power on=1.',
    operatorAction: 'Start again when the carriage may move.',
    usesNumber: true,
    when: 'both',
  },
  silent: {
    meaning: 'The rig heard no valid line for too long and stopped; motion is locked until power on=1.',
    operatorAction: 'Check cable and plugs, and that the computer does not sleep; then start again.',
    usesNumber: true,
    when: 'both',
  },
  stalled: {
    meaning: 'The carriage did not follow; its position is unknown and motion is locked until power on=1.',
    operatorAction: 'Look for an obstacle or a stiff fader with the guard open, then start again; the rig homes anew.',
    usesNumber: true,
    when: 'both',
  },
  unhomed: {
    meaning: 'The position is unknown: the rig must home first.',
    operatorAction: 'Let the rig home.',
    usesNumber: true,
    when: 'before',
  },
  guard: {
    meaning: 'The guard is open, or was opened during the motion.',
    operatorAction: 'Close the guard, then start again.',
    usesNumber: true,
    when: 'both',
  },
  clamp: {
    meaning: 'The clamp is open, or was opened during the motion.',
    operatorAction: 'Close the clamp on the fader, then start again.',
    usesNumber: true,
    when: 'both',
  },
  travel: {
    meaning: "The target lies outside the rig's travel.",
    operatorAction: "Check the law's travel and the position of the fader in the rig.",
    usesNumber: true,
    when: 'before',
  },
};

export function isRefusalCode(word: string): word is RefusalCode {
  return Object.hasOwn(refusals, word);
}
