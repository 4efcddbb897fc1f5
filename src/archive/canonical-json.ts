import { NotPlainDataError } from './errors.ts';

/**
 * JSON with sorted keys, so that equal content is equal text whatever the order of properties.
 * Properties that are `undefined` are left out, as in JSON.
 * @throws NotPlainDataError for what JSON would silently bend: NaN, infinities, functions, bigint, dates, typed arrays,
 *   lone surrogates, cycles.
 */
export function canonicalJson(value: unknown, where: string): string {
  return write(value, where, []);
}

function write(value: unknown, where: string, above: readonly object[]): string {
  if (value === null) return 'null';
  if (typeof value === 'boolean') return value ? 'true' : 'false';
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw new NotPlainDataError(where, `is ${value}`);
    return JSON.stringify(value);
  }
  if (typeof value === 'string') {
    if (!value.isWellFormed()) throw new NotPlainDataError(where, 'holds half a character (a lone surrogate)');
    return JSON.stringify(value);
  }
  if (typeof value !== 'object') throw new NotPlainDataError(where, `is a ${typeof value}`);
  if (above.includes(value)) throw new NotPlainDataError(where, 'contains itself');
  const path = [...above, value];
  if (Array.isArray(value)) {
    return `[${Array.from(value, (item: unknown, index) => write(item, `${where}[${index}]`, path)).join(',')}]`;
  }
  const prototype: unknown = Object.getPrototypeOf(value);
  if (prototype !== Object.prototype && prototype !== null) throw new NotPlainDataError(where, 'is not a plain object');
  const members = Object.entries(value)
    .filter(([, member]) => member !== undefined)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([key, member]) => `${write(key, `a key of ${where}`, path)}:${write(member, `${where}.${key}`, path)}`);
  return `{${members.join(',')}}`;
}
