/** Number columns as little-endian bytes and back, bit for bit, whatever the machine's own byte order. */
import { endianness } from 'node:os';

type Packable = Uint32Array | Int32Array | Float64Array;

const isLittleEndian = endianness() === 'LE';

export function packed(values: Packable): Buffer {
  const bytes = Buffer.from(values.buffer, values.byteOffset, values.byteLength);
  return isLittleEndian ? bytes : swapped(bytes, values.BYTES_PER_ELEMENT);
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
  copy.set(isLittleEndian ? bytes : swapped(Buffer.from(bytes), elementBytes));
  return copy.buffer;
}

function swapped(bytes: Buffer, elementBytes: number): Buffer {
  const copy = Buffer.from(bytes);
  return elementBytes === 8 ? copy.swap64() : copy.swap32();
}
