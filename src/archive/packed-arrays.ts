/** Number columns as little-endian bytes and back, bit for bit, whatever the machine's own byte order. */
import { endianness } from 'node:os';

type Packable = Uint32Array | Int32Array | Float64Array;

const isLittleEndian = endianness() === 'LE';

/** `inPlace` turns the bytes of `values` themselves where the machine's order is another. */
export function packed(values: Packable, where: 'inPlace' | 'asCopy' = 'asCopy'): Buffer {
  const bytes = Buffer.from(values.buffer, values.byteOffset, values.byteLength);
  if (isLittleEndian) return bytes;
  return swap(where === 'inPlace' ? bytes : Buffer.from(bytes), values.BYTES_PER_ELEMENT);
}

export function unpackedUint32(bytes: Uint8Array): Uint32Array {
  return new Uint32Array(aligned(bytes, 4));
}

export function unpackedInt32(bytes: Uint8Array): Int32Array {
  return new Int32Array(aligned(bytes, 4));
}

export function unpackedFloat64(bytes: Uint8Array): Float64Array {
  return new Float64Array(aligned(bytes, 8));
}

/** A copy of its own: bytes from the database may start anywhere in a shared buffer. */
function aligned(bytes: Uint8Array, elementBytes: 4 | 8): ArrayBuffer {
  const copy = new Uint8Array(bytes.byteLength);
  copy.set(isLittleEndian ? bytes : swap(Buffer.from(bytes), elementBytes));
  return copy.buffer;
}

function swap(bytes: Buffer, elementBytes: number): Buffer {
  return elementBytes === 8 ? bytes.swap64() : bytes.swap32();
}
