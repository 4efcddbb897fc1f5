/** Random good lines of every kind. */
import fc from 'fast-check';
import { formatLine, MAX_LINE_BYTES, type WireLineDraft } from '../../../firmware-protocol/codec/index.ts';

const number = fc.integer({ min: 0, max: 0xffff });
const value = fc.oneof(
  fc.integer({ min: -2_147_483_648, max: 2_147_483_647 }),
  fc.integer({ min: 0, max: 4_294_967_295 }),
  fc.integer({ min: -9, max: 9 }),
);
const word = fc.stringMatching(/^[a-z]{1,10}$/);
const key = fc.stringMatching(/^[a-z][a-z0-9]{0,3}$/).filter((text) => !['rig', 'ser', 'fw', 'at'].includes(text));
const fields = fc.dictionary(key, value, { maxKeys: 6, noNullPrototype: true });
const text = fc.stringMatching(/^[A-Za-z0-9._-]{1,20}$/);

export const arbitraryDraft: fc.Arbitrary<WireLineDraft> = fc
  .oneof(
    fc.record({ kind: fc.constantFrom('order', 'express', 'event'), number, word, fields }),
    fc.record({ kind: fc.constantFrom('answer', 'working'), number, fields }),
    fc.record({ kind: fc.constant('answer'), number, texts: fc.record({ rig: text, ser: text }) }),
    fc.record({ kind: fc.constant('refusal'), number, word, texts: fc.record({ at: key }) }),
    fc.record({
      kind: fc.constant('sample'),
      number,
      values: fc.array(value, { minLength: 3, maxLength: 5 }),
    }),
  )
  .filter(fits);

function fits(draft: WireLineDraft): boolean {
  const fields = Object.entries(draft.fields ?? {}).map(([key, value]) => ` ${key}=${value}`);
  const texts = Object.entries(draft.texts ?? {}).map(([key, value]) => ` ${key}=${value}`);
  const values = (draft.values ?? []).map((value) => ` ${value}`);
  const length = 5 + (draft.word?.length ?? 0) + 1 + [...fields, ...texts, ...values].join('').length + 6;
  return length <= MAX_LINE_BYTES;
}

/** Good lines with their LF. */
export const arbitraryLine: fc.Arbitrary<string> = arbitraryDraft.map(formatLine);
