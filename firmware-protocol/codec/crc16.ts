/**
 * The checksum of a line: CRC-16, polynomial 0x1021, initial value 0xFFFF, bits not reflected, no final exclusive-or.
 * Check value: the nine characters `123456789` give 0x29B1 (catalogued as CRC-16/IBM-3740, "CCITT-FALSE").
 */

const POLYNOMIAL = 0x1021;

// A byte table is a luxury of the station; SPEC.md shows the bitwise and the 16-entry form for small controllers.
const byteTable = Uint16Array.from({ length: 256 }, (_, byte) => {
  let register = byte << 8;
  for (let bit = 0; bit < 8; bit += 1) {
    register = register & 0x8000 ? (register << 1) ^ POLYNOMIAL : register << 1;
  }
  return register & 0xffff;
});

/** Checksum of `length` characters from the start of `text`, one byte each (the low 8 bits of the character code). */
export function crc16Prefix(text: string, length: number): number {
  let register = 0xffff;
  for (let index = 0; index < length; index += 1) {
    const byte = text.charCodeAt(index) & 0xff;
    register = ((register << 8) ^ (byteTable[(register >> 8) ^ byte] ?? 0)) & 0xffff;
  }
  return register;
}

/** Checksum 0..65535 of an ASCII or latin1 text. */
export function crc16(text: string): number {
  return crc16Prefix(text, text.length);
}

/** Checksum as it stands on the wire: four upper-case hex digits. */
export function crcHex(text: string): string {
  return hex4(crc16(text));
}

/** A number 0..65535 as four upper-case hex digits. */
export function hex4(value: number): string {
  return value.toString(16).toUpperCase().padStart(4, '0');
}
