/** The verdict words and shapes as HTML. */
import type { VerdictWord } from '../archive/records.ts';
import { type ShapePart, verdictOrder, verdictStyles } from '../verdict/words.ts';

export { attentionOrder, type ShapePart, type VerdictStyle, verdictOrder, verdictStyles } from '../verdict/words.ts';

const shapeId = (word: VerdictWord): string => `shape-${word}`;

const svgPart = (part: ShapePart): string => {
  if (part.paint === 'fill') return `<path d="${part.path}" fill="currentColor"/>`;
  const dash = part.dash === undefined ? '' : ` stroke-dasharray="${part.dash.join(' ')}"`;
  return `<path d="${part.path}" fill="none" stroke="currentColor" stroke-width="${part.strokeWidth ?? 1}"${dash}/>`;
};

/** The shapes as SVG symbols; put once into a page before `shapeSvg` is used. */
export function shapeSymbols(): string {
  const symbols = verdictOrder
    .map((word) => {
      const parts = verdictStyles[word].shape.map(svgPart).join('');
      return `<symbol id="${shapeId(word)}" viewBox="0 0 16 16">${parts}</symbol>`;
    })
    .join('');
  return `<svg class="symbols" width="0" height="0" aria-hidden="true">${symbols}</svg>`;
}

/** One shape in the colour of its word. Decorative: the word itself must stand beside it or in its label. */
export function shapeSvg(word: VerdictWord): string {
  return `<svg class="shape is-${word}" viewBox="0 0 16 16" aria-hidden="true"><use href="#${shapeId(word)}"/></svg>`;
}

/** Shape and word together. */
export function verdictHtml(word: VerdictWord): string {
  return `<span class="verdict is-${word}">${shapeSvg(word)}<b>${word}</b></span>`;
}
