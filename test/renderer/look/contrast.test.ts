import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';

const lookFolder = join(import.meta.dirname, '../../../renderer/look');
const tokens = readFileSync(join(lookFolder, 'tokens.css'), 'utf8');

/** The plain colours that `[data-theme="name"]` sets. */
function coloursOf(theme: string): ReadonlyMap<string, string> {
  const block = tokens.split(`[data-theme="${theme}"]`)[1]?.split('}')[0] ?? '';
  return new Map([...block.matchAll(/--([a-z-]+):\s*(#[0-9a-f]{6});/g)].map((hit) => [hit[1] ?? '', hit[2] ?? '']));
}

/** WCAG 2.2, definition of relative luminance. */
function luminance(colour: string): number {
  const channel = (at: number) => {
    const share = Number.parseInt(colour.slice(at, at + 2), 16) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  };
  return 0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5);
}

/** WCAG 2.2, definition of contrast ratio, 1..21. */
function contrast(one: string, other: string): number {
  const [dark = 0, light = 0] = [luminance(one), luminance(other)].sort((a, b) => a - b);
  return (light + 0.05) / (dark + 0.05);
}

const grounds = ['ground', 'plate', 'well'];
const texts = ['ink', 'ink-soft', 'accent', 'pass', 'doubt', 'fail', 'void'];

test('the ratio is WCAG’s own: 21 for black on white, 4.54 for #767676 on white', () => {
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 10);
  expect(contrast('#767676', '#ffffff')).toBeCloseTo(4.54, 2);
});

describe.each(['dark', 'light'])('the %s theme', (theme) => {
  const colours = coloursOf(theme);
  const ratio = (front: string, back: string) => contrast(colours.get(front) ?? '', colours.get(back) ?? '');

  test.each(texts.flatMap((text) => grounds.map((ground) => [text, ground] as const)))(
    'is readable: %s on %s at least 4.5 (AA, text)',
    (text, ground) => {
      expect(ratio(text, ground)).toBeGreaterThanOrEqual(4.5);
    },
  );

  test('is readable on the key to press next', () => {
    expect(ratio('on-accent', 'accent')).toBeGreaterThanOrEqual(4.5);
  });

  test.each(grounds)('shows where a control ends: edge on %s at least 3 (AA, parts of controls)', (ground) => {
    expect(ratio('edge', ground)).toBeGreaterThanOrEqual(3);
  });

  test('keeps the carriage’s slot apart from the plate it is cut into, by its rim', () => {
    expect(Math.max(ratio('edge', 'slot'), ratio('slot', 'plate'))).toBeGreaterThanOrEqual(3);
  });
});

test('both themes set the same colours', () => {
  expect([...coloursOf('light').keys()].sort()).toEqual([...coloursOf('dark').keys()].sort());
});

test('no other style sheet of the look brings a colour of its own', () => {
  for (const name of readdirSync(lookFolder).filter((file) => file.endsWith('.css') && file !== 'tokens.css')) {
    const own = readFileSync(join(lookFolder, name), 'utf8').match(/#[0-9a-f]{3,8}\b|rgba?\(|hsla?\(/gi) ?? [];
    expect(own, name).toEqual([]);
  }
});

test('every colour that a style sheet of the look asks for is set', () => {
  const set = new Set([...tokens.matchAll(/--([a-z0-9-]+):/g)].map((hit) => hit[1]));
  for (const name of readdirSync(lookFolder).filter((file) => file.endsWith('.css'))) {
    const asked = [...readFileSync(join(lookFolder, name), 'utf8').matchAll(/var\(--([a-z0-9-]+)/g)];
    expect(
      asked.map((hit) => hit[1]).filter((token) => !set.has(token)),
      name,
    ).toEqual([]);
  }
});
