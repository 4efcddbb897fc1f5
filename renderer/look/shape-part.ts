/** One stroke or filled area of a shape, in SVG path notation; painted in the colour of the text around it. */
export interface ShapePart {
  readonly path: string;
  readonly paint: 'fill' | 'stroke';
  /** In units of the shape's box. */
  readonly strokeWidth?: number;
  /** Dash pattern in units of the shape's box; absent = solid. */
  readonly dash?: readonly number[];
  /** Painted in the accent instead: the part that is live. */
  readonly isLive?: boolean;
}

/** A shape in its box, `width` x `height` units. */
export interface Shape {
  readonly width: number;
  readonly height: number;
  readonly parts: readonly ShapePart[];
}
