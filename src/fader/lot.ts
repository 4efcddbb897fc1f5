import { formatSerialNumber, type SerialNumber } from './serial-number.ts';

/** Faders made together: one part, one week. */
export interface Lot {
  readonly part: string;
  readonly year: number;
  readonly week: number;
}

export function lotOf(serial: SerialNumber): Lot {
  return { part: serial.part, year: serial.year, week: serial.week };
}

/** `PF104-26-48`: a serial number without its running number. */
export function formatLot(lot: Lot): string {
  const serial = formatSerialNumber({ ...lot, running: 1 });
  return serial.slice(0, serial.lastIndexOf('-'));
}

/** The serial number of the piece at `index` (0, 1, 2 ...) of a lot; running numbers begin at 1. */
export function serialInLot(lot: Lot, index: number): SerialNumber {
  return { ...lot, running: index + 1 };
}
