import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { escapeHtml, scriptJson } from '../../src/report/escape.ts';
import { count, duration, limits, listing, ohm, share, signed } from '../../src/report/format.ts';
import { darkPalette, lightPalette, type Palette } from '../../src/report/palette.ts';
import { attentionOrder, shapeSvg, verdictHtml, verdictOrder, verdictStyles } from '../../src/report/words.ts';

describe('verdict words', () => {
  it('are told apart without colour: by shape, by character and, as curves, by dash or weight', () => {
    const styles = verdictOrder.map((word) => verdictStyles[word]);
    expect(new Set(styles.map(({ character }) => character)).size).toBe(4);
    expect(new Set(styles.map(({ shape }) => JSON.stringify(shape))).size).toBe(4);
    expect(new Set(styles.map(({ lineDash, lineWidthPx }) => `${lineDash.join()} ${lineWidthPx}`)).size).toBe(4);
    expect([...attentionOrder].sort()).toEqual([...verdictOrder].sort());
  });

  it('always stand in words beside their shape', () => {
    for (const word of verdictOrder) {
      expect(verdictHtml(word)).toContain(shapeSvg(word));
      expect(verdictHtml(word)).toContain(`<b>${word}</b>`);
    }
  });
});

// Contrast ratio and relative luminance: WCAG 2.2, definitions "contrast ratio" and "relative luminance".
const luminance = (colour: string): number => {
  const [red = 0, green = 0, blue = 0] = [1, 3, 5].map((at) => {
    const channel = Number.parseInt(colour.slice(at, at + 2), 16) / 255;
    return channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
};
const contrast = (a: string, b: string): number => {
  const [light = 0, dark = 0] = [luminance(a), luminance(b)].sort((x, y) => y - x);
  return (light + 0.05) / (dark + 0.05);
};

describe.each<[string, Palette]>([
  ['light', lightPalette],
  ['dark', darkPalette],
])('%s colours', (_, palette) => {
  it('keep text at 4.5:1 on every ground it stands on', () => {
    for (const ground of [palette.paper, palette.sheet, palette.band]) {
      for (const text of [palette.ink, palette.pencil, ...Object.values(palette.verdict)]) {
        expect(contrast(text, ground), `${text} on ${ground}`).toBeGreaterThanOrEqual(4.5);
      }
    }
    expect(contrast(palette.violet, palette.paper)).toBeGreaterThanOrEqual(4.5);
  });

  it('keep the law, axes and curves at 3:1', () => {
    for (const ground of [palette.sheet, palette.band]) {
      expect(contrast(palette.violet, ground)).toBeGreaterThanOrEqual(3);
    }
  });
});

describe('escaping', () => {
  const decode = (text: string): string =>
    text
      .replaceAll('&lt;', '<')
      .replaceAll('&gt;', '>')
      .replaceAll('&quot;', '"')
      .replaceAll('&#39;', "'")
      .replaceAll('&amp;', '&');

  it('of HTML leaves no character that markup is made of, and loses none', () => {
    fc.assert(
      fc.property(fc.string({ unit: fc.constantFrom('<', '>', '&', '"', "'", 'a', ';', '#', 'l', 't') }), (text) => {
        expect(escapeHtml(text)).not.toMatch(/[<>"']/);
        expect(decode(escapeHtml(text))).toBe(text);
      }),
    );
  });

  it('of data reads back equal and cannot end its element', () => {
    fc.assert(
      fc.property(fc.json(), fc.constantFrom('</script>', '<!--', '\u2028', ']]>'), (json, sting) => {
        const value = { sting, rest: JSON.parse(json) };
        const text = scriptJson(value);
        expect(text).not.toMatch(/[<>&\u2028\u2029]/);
        expect(JSON.parse(text)).toEqual(JSON.parse(JSON.stringify(value)));
      }),
    );
  });

  it('makes invisible direction marks visible', () => {
    expect(escapeHtml('PF\u202e401')).toBe('PF\ufffd401');
  });
});

describe('numbers as read', () => {
  it('show signs, gaps and groups', () => {
    expect([signed(0.421, 2), signed(-0.1, 2), signed(-0.001, 2), signed(null, 2)]).toEqual([
      '+0.42',
      '−0.10',
      '0.00',
      '–',
    ]);
    expect([ohm(10_240.4), ohm(600), ohm(null)]).toEqual(['10\u202f240', '600', '–']);
    expect([limits(85, null, 2), limits(null, 0.2, 2), limits(8, 12, 0)]).toEqual(['≥ 85.00', '≤ 0.20', '8 … 12']);
  });

  it('never round a share to all or none unless it is', () => {
    expect([share(499, 500), share(1, 500), share(500, 500), share(0, 500), share(0, 0)]).toEqual([
      '> 99 %',
      '< 1 %',
      '100 %',
      '0 %',
      '–',
    ]);
  });

  it('say times, counts and lists plainly', () => {
    expect(duration('2026-11-25T09:12:00Z', '2026-11-25T09:12:14.2Z')).toBe('14.2 s');
    expect(duration('2026-11-25T09:12:00Z', '2026-11-25T09:14:05Z')).toBe('2 min 05 s');
    expect(duration('2026-11-25T09:12:00Z', 'broken')).toBe('–');
    expect([count(1, 'fader'), count(3, 'fader')]).toEqual(['1 fader', '3 faders']);
    expect([listing(['A']), listing(['A', 'B', 'C']), listing(['A', 'B', 'C', 'D'], 2)]).toEqual([
      'A',
      'A, B and C',
      'A, B and 2 more',
    ]);
  });
});
