/**
 * What a person would see at once and a test must see too: text that is cut off or lies on other text, and things to
 * press that a gloved finger misses. These functions run inside the window's page and return sentences, one a fault.
 */

/** Areas that may hold more than they show; everything else must show all it has. */
export const scrollAreas: readonly string[] = [
  // The last pieces, the found list, the records' tables.
  '.slip ol',
  '.found-list',
  '.scroll-part',
  // Laws: list of revisions, points, problems.
  '.law-list nav',
  '.law-scroll',
  // Rig: ports, log, history.
  '.ports ul',
  '.log ol',
  '.history',
  '.troubles',
  // Settings: the topic's page.
  '.topic',
  '.meanings',
  '.first-start .page',
];

export interface LayoutWish {
  readonly scrollAreas: readonly string[];
  readonly leastTargetPx: number;
}

/** Runs inside the page, so it closes over nothing. */
export function layoutFaults({ scrollAreas, leastTargetPx }: LayoutWish): string[] {
  const faults: string[] = [];
  const root = document.querySelector('dialog:modal') ?? document.body;

  const nameOf = (element: Element): string => {
    const classes = element.getAttribute('class') ?? '';
    const own = `${element.tagName.toLowerCase()}${classes === '' ? '' : `.${classes.trim().replaceAll(/\s+/g, '.')}`}`;
    const parent = element.parentElement;
    const above = parent === null ? '' : `${parent.tagName.toLowerCase()}.${parent.getAttribute('class') ?? ''} > `;
    return `${above}${own} "${(element.textContent ?? '').trim().slice(0, 60)}"`;
  };
  const isSeen = (element: Element): boolean =>
    element.closest('.unseen, option, datalist, script, style') === null &&
    element.checkVisibility({ visibilityProperty: true, opacityProperty: true });
  const mayScroll = (element: Element): boolean => scrollAreas.some((selector) => element.matches(selector));
  const scrolls = (style: CSSStyleDeclaration): boolean => /auto|scroll/.test(`${style.overflowX} ${style.overflowY}`);
  const clips = (style: CSSStyleDeclaration): boolean => /hidden|clip/.test(`${style.overflowX} ${style.overflowY}`);

  const textWidth = (text: string, { font }: CSSStyleDeclaration): number => {
    const context = document.createElement('canvas').getContext('2d');
    if (context === null) throw new Error('No canvas to measure text with.');
    context.font = font;
    return context.measureText(text).width;
  };
  const roomIn = ({ clientWidth }: Element, { paddingLeft, paddingRight }: CSSStyleDeclaration): number =>
    clientWidth - Number.parseFloat(paddingLeft) - Number.parseFloat(paddingRight);

  interface Box {
    readonly left: number;
    readonly top: number;
    readonly right: number;
    readonly bottom: number;
  }
  const texts: { readonly element: Element; readonly box: Box }[] = [];

  const holds = (outer: Box, inner: Box): boolean =>
    inner.left >= outer.left - 1 &&
    inner.right <= outer.right + 1 &&
    inner.top >= outer.top - 1 &&
    inner.bottom <= outer.bottom + 1;

  /** The text's box as far as scroll areas let it be seen; null = scrolled away. */
  const seenPart = (element: Element, box: Box): Box | null => {
    for (let outer: Element | null = element; outer !== null; outer = outer.parentElement) {
      const style = getComputedStyle(outer);
      if (!scrolls(style) && !clips(style)) continue;
      const edge = outer.getBoundingClientRect();
      if (scrolls(style) && mayScroll(outer)) {
        if (box.bottom <= edge.top || box.top >= edge.bottom || box.right <= edge.left || box.left >= edge.right)
          return null;
        box = {
          left: Math.max(box.left, edge.left),
          top: Math.max(box.top, edge.top),
          right: Math.min(box.right, edge.right),
          bottom: Math.min(box.bottom, edge.bottom),
        };
      } else if (!holds(edge, box)) {
        faults.push(`cut off by ${nameOf(outer).slice(0, 80)}: ${nameOf(element)}`);
        return box;
      }
    }
    if (!holds({ left: 0, top: 0, right: innerWidth, bottom: innerHeight }, box))
      faults.push(`outside the window: ${nameOf(element)}`);
    return box;
  };

  for (const element of root.querySelectorAll('*')) {
    if (!isSeen(element)) continue;
    const style = getComputedStyle(element);
    if (scrolls(style) && !mayScroll(element)) {
      if (element.scrollWidth > element.clientWidth + 1 || element.scrollHeight > element.clientHeight + 1)
        faults.push(`scrolls, and is no scroll area: ${nameOf(element)}`);
    }
    if (mayScroll(element) && element.scrollWidth > element.clientWidth + 1)
      faults.push(`scrolls sideways: ${nameOf(element)}`);
    if (element instanceof HTMLInputElement || element instanceof HTMLTextAreaElement) {
      if (element.scrollWidth > element.clientWidth + 1)
        faults.push(`value cut off: ${nameOf(element)} ${element.value}`);
    }
    if (element instanceof HTMLSelectElement) {
      const text = element.selectedOptions[0]?.text ?? '';
      // The arrow of the list takes some 18 px.
      if (textWidth(text, style) > roomIn(element, style) - 18)
        faults.push(`choice cut off: ${nameOf(element)} ${text}`);
      continue;
    }
    for (const node of element.childNodes) {
      if (node.nodeType !== Node.TEXT_NODE || (node.textContent ?? '').trim() === '') continue;
      const range = document.createRange();
      range.selectNodeContents(node);
      for (const { left, top, right, bottom, width, height } of range.getClientRects()) {
        if (width === 0 || height === 0) continue;
        if (style.display !== 'inline' && !(element instanceof SVGElement)) {
          const own = element.getBoundingClientRect();
          if (right > own.right + 1 || left < own.left - 1) faults.push(`wider than its box: ${nameOf(element)}`);
        }
        // A line's box is taller than its letters.
        const inset = height * 0.2;
        const seen = seenPart(element, { left, top: top + inset, right, bottom: bottom - inset });
        if (seen !== null) texts.push({ element, box: seen });
      }
    }
  }

  // A notice lies over the screen on purpose, on a ground of its own.
  const overlay = '.troubles';
  texts.forEach(({ element, box }, at) => {
    for (const other of texts.slice(at + 1)) {
      const wide = Math.min(box.right, other.box.right) - Math.max(box.left, other.box.left);
      const high = Math.min(box.bottom, other.box.bottom) - Math.max(box.top, other.box.top);
      const isOverlaid = element.closest(overlay) !== other.element.closest(overlay);
      if (wide > 2 && high > 2 && !isOverlaid)
        faults.push(`lies on other text: ${nameOf(element)} on ${nameOf(other.element)}`);
    }
  });

  const targets = 'button, a[href], input, select, textarea, summary, [role="tab"], [role="button"], [role="switch"]';
  for (const element of root.querySelectorAll(targets)) {
    if (!isSeen(element)) continue;
    const isTick = element instanceof HTMLInputElement && (element.type === 'radio' || element.type === 'checkbox');
    // A tick is pressed by its whole label.
    const pressed = isTick ? (element.closest('label') ?? element.labels?.[0] ?? element) : element;
    const { width, height } = pressed.getBoundingClientRect();
    if (width < leastTargetPx - 0.5 || height < leastTargetPx - 0.5)
      faults.push(`too small to press, ${width.toFixed(0)}x${height.toFixed(0)} px: ${nameOf(element)}`);
  }
  return [...new Set(faults)];
}
