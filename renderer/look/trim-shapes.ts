/** Shapes of the trimming words: a piece of track, seen from above, closed end below. */
import type { Shape } from './shape-part.ts';

const box = { width: 16, height: 16 } as const;
const line = { paint: 'stroke', strokeWidth: 1.5 } as const;

/** The whole track with the law's line in it: nothing has to be cut. */
export const conformsShape: Shape = {
  ...box,
  parts: [
    { ...line, path: 'M4.5 1.25H11.5V14.75H4.5Z' },
    { paint: 'fill', path: 'M7 3.5H9V12.5H7Z' },
  ],
};

/** A notch to be made, dashed. */
export const trimmableShape: Shape = {
  ...box,
  parts: [
    { ...line, path: 'M11.5 5V1.25H4.5V14.75H11.5V11' },
    { ...line, path: 'M12.75 5H8.25V11H12.75', strokeWidth: 1.25, dash: [1.5, 1] },
  ],
};

/** A track in two pieces. */
export const hopelessShape: Shape = {
  ...box,
  parts: [
    { paint: 'fill', path: 'M4 1H12V5.5L4 8.5Z' },
    { paint: 'fill', path: 'M4 10.5L12 7.5V15H4Z' },
  ],
};

/** The notch that is to be cut now, live. */
export const cutShape: Shape = {
  ...box,
  parts: [
    { ...line, path: 'M11.5 4.5V1.25H4.5V14.75H11.5V11.5' },
    { paint: 'fill', path: 'M8.5 4.5H14.5V11.5H8.5Z', isLive: true },
  ],
};

/** Notched, and all the rest dashed: what the track is now, nobody knows. */
export const unmeasuredShape: Shape = {
  ...box,
  parts: [
    { ...line, path: 'M4.5 1.25V14.75M4.5 1.25H11.5M4.5 14.75H11.5', dash: [1.8, 1.4] },
    { ...line, path: 'M11.5 1.25V5H8.5V11H11.5V14.75' },
  ],
};

/** Notched three times: what could be done is done. */
export const endedShape: Shape = {
  ...box,
  parts: [
    { ...line, path: 'M11.5 1.25H4.5V14.75H11.5' },
    { ...line, path: 'M11.5 1.25V3H9V5H11.5V7H9V9H11.5V11H9V13H11.5V14.75' },
  ],
};

/** The index mark on its way to a line that it must not cross. */
export const approachShape: Shape = {
  ...box,
  parts: [
    { path: 'M1 13H15', ...line },
    { path: 'M12.5 2.5V13', paint: 'stroke', strokeWidth: 2 },
    { path: 'M3 5.5H9L6 11Z', paint: 'fill', isLive: true },
  ],
};

/** The index mark stands against the line: hands off. */
export const handsOffShape: Shape = {
  ...box,
  parts: [
    { path: 'M1 13H15', ...line },
    { path: 'M11 1.5V13', paint: 'stroke', strokeWidth: 3 },
    { path: 'M3 5H10L6.5 11.5Z', paint: 'fill' },
  ],
};
