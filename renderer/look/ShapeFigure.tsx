import type { ReactElement } from 'react';
import type { Shape } from './shape-part.ts';

/** Draws a shape in the colour of its surroundings. It stands beside its word and is silent to screen readers. */
export function ShapeFigure({
  shape,
  className,
}: {
  readonly shape: Shape;
  readonly className?: string;
}): ReactElement {
  return (
    <svg viewBox={`0 0 ${shape.width} ${shape.height}`} className={className} aria-hidden="true">
      {shape.parts.map((part) => {
        const colour = part.isLive === true ? 'var(--accent)' : 'currentColor';
        return part.paint === 'fill' ? (
          <path key={part.path} d={part.path} fill={colour} />
        ) : (
          <path
            key={part.path}
            d={part.path}
            fill="none"
            stroke={colour}
            strokeWidth={part.strokeWidth}
            strokeDasharray={part.dash?.join(' ')}
          />
        );
      })}
    </svg>
  );
}
