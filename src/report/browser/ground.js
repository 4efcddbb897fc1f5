// Runs inside the report, in any browser, from its own data. The files of this folder are joined in the order
// ground, marks, curves, counts, page and written into the page; what they share hangs on `window.sheet`.
// This one: the data, the colours of the theme, the verdict shapes, axes and tooltips.
(() => {
  const {
    charts: data,
    look,
    order,
    colours,
    labelFonts,
  } = JSON.parse(document.getElementById('report-data').textContent);
  const dark = window.matchMedia('(prefers-color-scheme: dark)');
  // What lies left and right of every plot, so that the travel axes stand exactly one under another.
  const leftPx = 52;
  const rightPx = 14;
  const hidden = new Set();
  const deviationOf = (curve) => curve.deviationDb;
  const lossOf = (curve) =>
    curve.deviationDb.map((deviation, i) => (deviation === null ? null : data.points[i].lawDb + deviation));
  const page = { printing: false };

  const palette = () => (dark.matches && !page.printing ? colours.dark : colours.light);
  const paths = Object.fromEntries(
    order.map((word) => [word, look[word].shape.map((part) => ({ ...part, path: new Path2D(part.path) }))]),
  );

  const drawShape = (context, word, x, y, sizePx) => {
    const colour = palette().verdict[word];
    context.save();
    context.translate(x - sizePx / 2, y - sizePx / 2);
    context.scale(sizePx / 16, sizePx / 16);
    context.fillStyle = colour;
    context.strokeStyle = colour;
    for (const part of paths[word]) {
      if (part.paint === 'fill') context.fill(part.path);
      else {
        // Thin outlines vanish at this size, so they are drawn heavier than on paper.
        context.lineWidth = Math.max(part.strokeWidth, 22 / sizePx);
        context.setLineDash(part.dash ?? []);
        context.stroke(part.path);
      }
    }
    context.restore();
  };

  const axisFont = { family: labelFonts, size: 13 };
  const signed = (value, digits = 2) => {
    const text = Math.abs(value).toFixed(digits);
    if (Number(text) === 0) return text;
    return value > 0 ? `+${text}` : `−${text}`;
  };

  const travelAxis = () => {
    const { pencil, rule, edge } = palette();
    return {
      type: 'linear',
      min: 0,
      max: data.travelMm,
      border: { color: edge },
      grid: { display: false, tickColor: rule },
      ticks: {
        color: pencil,
        font: axisFont,
        maxRotation: 0,
        maxTicksLimit: 14,
        // The last round number would collide with the end of the travel.
        callback: (value) => (Number.isInteger(value) ? String(value) : ''),
      },
    };
  };

  const valueAxis = (more) => {
    const { pencil, rule, edge } = palette();
    return {
      type: 'linear',
      border: { color: edge },
      grid: { color: rule, tickLength: 5 },
      afterFit: (axis) => {
        axis.width = leftPx;
      },
      ...more,
      ticks: { color: pencil, font: axisFont, ...more.ticks },
    };
  };

  const tooltip = (lines) => {
    const { ink, sheet } = palette();
    return {
      backgroundColor: ink,
      titleColor: sheet,
      bodyColor: sheet,
      titleFont: { family: labelFonts, size: 14, weight: 700 },
      bodyFont: { family: labelFonts, size: 13 },
      cornerRadius: 2,
      padding: 9,
      displayColors: false,
      filter: (item) => item.dataset.about !== undefined,
      callbacks: lines,
    };
  };

  const common = (plugins, scales, layout) => ({
    animation: false,
    parsing: false,
    normalized: true,
    responsive: true,
    maintainAspectRatio: false,
    ...(page.printing ? { devicePixelRatio: 3 } : {}),
    layout: { padding: { right: rightPx, ...layout } },
    interaction: { mode: 'nearest', intersect: false, axis: 'xy' },
    plugins: { legend: { display: false }, ...plugins },
    scales,
  });

  /** What makes each chart's configuration, by the id of its canvas. */
  const makers = {};

  window.sheet = {
    data,
    look,
    labelFonts,
    hidden,
    page,
    dark,
    leftPx,
    palette,
    drawShape,
    deviationOf,
    lossOf,
    signed,
    axisFont,
    travelAxis,
    valueAxis,
    tooltip,
    common,
    makers,
  };
})();
