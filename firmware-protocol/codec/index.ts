/** The wire between station and rig. See SPEC.md, one folder up. */
export * from './approach.ts';
export * from './clock-unwrap.ts';
export { crc16, crcHex } from './crc16.ts';
export * from './errors.ts';
export * from './limits.ts';
export {
  formatLine,
  type LineKind,
  MAX_LINE_BYTES,
  type ParseFailure,
  type ParseResult,
  parseLine,
  type WireLine,
  type WireLineDraft,
} from './line.ts';
export * from './line-guard.ts';
export * from './motion.ts';
export * from './order-gate.ts';
export {
  decodeGlideEnd,
  decodeReading,
  encodeGlideEnd,
  encodeReading,
  modulo32,
  readingLimits,
  type WireGlideEnd,
  type WireReading,
} from './reading.ts';
export * from './refusals.ts';
export * from './sample.ts';
export * from './settling.ts';
export * from './status.ts';
export * from './words.ts';
