/** Golden lines that must be dropped, and orders that must be refused. The reason is stated here, not computed. */
import { crcHex } from '../codec/crc16.ts';
import { formatLine } from '../codec/line.ts';
import { words } from '../codec/words.ts';
import type { LineVector } from './vector-types.ts';

type Reason = 'length' | 'charset' | 'crc' | 'shape';

export function badLines(): LineVector[] {
  return [...flipped(), ...truncated(), ...framing(), ...shapes(), ...wrongOrders()];
}

const model = formatLine({ kind: 'order', number: 0x01a7, word: 'sense', fields: { t: 20_000, n: 16 } }).trimEnd();

function dropped(name: string, text: string, reason: Reason): LineVector {
  const mark = text.charAt(0);
  const direction = mark === '>' || mark === '~' ? 'toRig' : 'toStation';
  return { name, direction, bytes: `${text}\n`, expect: { ok: false, reason } };
}

/** A body with its right checksum, whatever the body. */
const sealed = (body: string): string => `${body} ${crcHex(body)}`;

function flipped(): LineVector[] {
  const flip = (index: number, mask: number): LineVector => {
    const code = model.charCodeAt(index) ^ mask;
    const text = model.slice(0, index) + String.fromCharCode(code) + model.slice(index + 1);
    const reason = code < 0x20 || code > 0x7e ? 'charset' : 'crc';
    return { ...dropped(`byte ${index} changed by ${mask}`, text, reason), direction: 'toRig' };
  };
  return [0x01, 0x20, 0x80].flatMap((mask) => Array.from(model, (_, index) => flip(index, mask)));
}

function truncated(): LineVector[] {
  return Array.from(model, (_, length) => {
    const text = model.slice(0, length);
    const name = `cut after ${length} of ${model.length} bytes`;
    return { ...dropped(name, text, length < 10 ? 'length' : 'crc'), direction: 'toRig' as const };
  });
}

function framing(): LineVector[] {
  const filler = sealed(`>0001 visit ${'a=1 '.repeat(20).trimEnd()}`);
  const long = sealed(
    `<0001 ${'abcdef'
      .split('')
      .map((key) => `${key}=123456789`)
      .join(' ')} g=-1234567890`,
  );
  return [
    dropped('one byte too long (97 with LF), checksum right', long, 'length'),
    dropped('far too long', filler + '0'.repeat(400), 'length'),
    dropped('CR before LF', `${model}\r`, 'charset'),
    dropped('tab for a space, checksum right', sealed('>0001\tbeat'), 'charset'),
    dropped('byte above 127, checksum right', sealed('>0001 b\u00e9at'), 'charset'),
    dropped('checksum in lower case', '%0001 '.concat(crcHex('%0001').toLowerCase()), 'crc'),
    dropped('checksum without its space', `%0001x${crcHex('%0001')}`, 'crc'),
    dropped('checksum over the space too', `%0001 ${crcHex('%0001 ')}`, 'crc'),
    dropped('space after the checksum', `${model} `, 'crc'),
    dropped('noise', '\u00ff\u0000\u00aa\u0055 noise \u0007 12', 'charset'),
  ];
}

function shapes(): LineVector[] {
  const shape = (name: string, body: string): LineVector => dropped(`${name}, checksum right`, sealed(body), 'shape');
  return [
    shape('unknown mark', '#0001 beat'),
    shape('number in lower case', '>00ab sense t=20000 n=1'),
    shape('number of three digits', '>0AB sense t=20000 n=1'),
    shape('order without a word', '>0001'),
    shape('field in place of the word', '>0001 t=20000'),
    shape('word in upper case', '~0001 BEAT'),
    shape('word of eleven letters', '~0001 beatbeatbea'),
    shape('answer with a word', '<0001 fine'),
    shape('two spaces', '>0001  home'),
    shape('space before the checksum', '>0001 home '),
    shape('key twice', '>0001 sense t=1 t=2 n=1'),
    shape('key of five characters', '>0001 sense timed=1'),
    shape('key beginning with a digit', '>0001 sense 1t=1'),
    shape('key without a value', '>0001 sense t='),
    shape('value without a key', '>0001 sense =1'),
    shape('plus sign', '>0001 visit x=+5'),
    shape('minus nought', '>0001 visit x=-0'),
    shape('leading nought', '>0001 visit x=007'),
    shape('decimal point', '>0001 visit x=1.5'),
    shape('exponent', '>0001 visit x=1e3'),
    shape('eleven digits', '>0001 visit x=10000000000'),
    shape('above 32 bits', '>0001 visit x=4294967296'),
    shape('below 32 bits', '>0001 visit x=-2147483649'),
    shape('text where an integer belongs', '>0001 visit x=far'),
    shape(
      'seventeen fields',
      `<0001 ${'abcdefghijklmnopq'
        .split('')
        .map((key) => `${key}=1`)
        .join(' ')}`,
    ),
    shape('text of twenty-one characters', '<0001 v=1 rig=ABCDEFGHIJKLMNOPQRSTU'),
    shape('text with a forbidden character', '<0001 v=1 fw=1,0'),
    shape('sample with two values', '.0001 5 6'),
    shape('sample with a field', '.0001 5 6 k=7'),
    shape('sample with minus nought', '.0001 5 6 -0'),
    shape('two lines run together', `${model}>01A8 home`),
  ];
}

function wrongOrders(): LineVector[] {
  const wrong = (
    name: string,
    kind: 'order' | 'express',
    word: string,
    fields: Record<string, number>,
    order: NonNullable<LineVector['order']>,
  ): LineVector => {
    const line = { kind, number: 2, word, fields, texts: {}, values: [] };
    return { name, direction: 'toRig', bytes: formatLine(line), expect: { ok: true, line }, order };
  };
  const perWord = words.flatMap((spec) => {
    const { kind, word } = spec;
    if (kind === 'event') return [];
    const lowest = Object.fromEntries(spec.fields.map((field) => [field.key, field.min]));
    const unknown = wrong(
      `${word} with an unknown field`,
      kind,
      word,
      { ...lowest, zz: 1 },
      { code: 'field', at: 'zz' },
    );
    return [
      unknown,
      ...spec.fields.flatMap(({ key, min, max }) => {
        const { [key]: _left, ...without } = lowest;
        return [
          wrong(`${word} without ${key}`, kind, word, without, { code: 'field', at: key }),
          wrong(`${word}, ${key} too low`, kind, word, { ...lowest, [key]: min - 1 }, { code: 'range', at: key }),
          wrong(`${word}, ${key} too high`, kind, word, { ...lowest, [key]: max + 1 }, { code: 'range', at: key }),
        ];
      }),
    ];
  });
  return [
    wrong('unknown word', 'order', 'dance', { x: 1 }, { code: 'word' }),
    wrong('unknown express word', 'express', 'shout', {}, { code: 'word' }),
    wrong('order word as express line', 'express', 'home', {}, { code: 'word' }),
    wrong('express word as order', 'order', 'halt', {}, { code: 'word' }),
    ...perWord,
  ];
}
