import type { Shape } from './shape-part.ts';

// The verdicts' own shapes stand beside their words, where paper and terminal take them from too.

/** The large shape while a run is on: a scale and the index mark on it. */
export const measuringShape: Shape = {
  width: 16,
  height: 16,
  parts: [
    { path: 'M3 1.5V14.5M3 3.5H6M3 8H7.5M3 12.5H6', paint: 'stroke', strokeWidth: 1.5 },
    { path: 'M14 4.5V11.5L8.5 8Z', paint: 'fill', isLive: true },
  ],
};

/** Paused: the scale with the index mark drawn back from it, hollow. */
export const pausedShape: Shape = {
  width: 16,
  height: 16,
  parts: [
    { path: 'M3 1.5V14.5M3 3.5H6M3 8H7.5M3 12.5H6', paint: 'stroke', strokeWidth: 1.5 },
    { path: 'M14 5.5V10.5L10 8Z', paint: 'stroke', strokeWidth: 1.25 },
  ],
};

/** Ready: the scale with nothing on it yet. */
export const readyShape: Shape = {
  width: 16,
  height: 16,
  parts: [{ path: 'M3 1.5V14.5M3 3.5H6M3 8H7.5M3 12.5H6', paint: 'stroke', strokeWidth: 1.5 }],
};

const leads = 'M1 17H10M30 17H39';
const leftPad = 'M12 14a3 3 0 1 0 0 6a3 3 0 1 0 0-6Z';
const rightPad = 'M28 14a3 3 0 1 0 0 6a3 3 0 1 0 0-6Z';

/** An interlock that holds: the contact is closed. */
export const closedContactShape: Shape = {
  width: 40,
  height: 24,
  parts: [
    { path: leads, paint: 'stroke', strokeWidth: 2.5 },
    { path: leftPad, paint: 'fill' },
    { path: rightPad, paint: 'fill' },
    { path: 'M12 14H28', paint: 'stroke', strokeWidth: 2.5 },
  ],
};

/** An interlock that does not hold: the contact stands open. */
export const openContactShape: Shape = {
  width: 40,
  height: 24,
  parts: [
    { path: leads, paint: 'stroke', strokeWidth: 2.5 },
    { path: leftPad, paint: 'fill' },
    { path: rightPad, paint: 'fill' },
    { path: 'M12 16L26 4', paint: 'stroke', strokeWidth: 2.5 },
  ],
};

/** Not known, because no fresh reading came: leads and pads without a blade, dashed. */
export const unknownContactShape: Shape = {
  width: 40,
  height: 24,
  parts: [
    { path: leads, paint: 'stroke', strokeWidth: 2.5, dash: [3, 3] },
    { path: leftPad, paint: 'stroke', strokeWidth: 1.5 },
    { path: rightPad, paint: 'stroke', strokeWidth: 1.5 },
  ],
};

/** A reading taken while opening (the knob travels away from closed): filled, points up as the knob goes. */
export const openingMark = 'M-6 4.8H6L0 -5.4Z';
/** A reading taken while closing: hollow, points down. */
export const closingMark = 'M-6 -4.8H6L0 5.4Z';
