// Runs inside the report, in any browser, from its own data. No module: it is written into the page.
/* global Chart */
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
  const printWidthPx = 660;
  // Beyond so many points a mark on each would hide the curves; then only what is not a plain pass is marked.
  const marksAtMost = 900;
  const marks = [...data.marks].sort((a, b) => a.travelMm - b.travelMm);
  const hidden = new Set();
  const deviationOf = (curve) => curve.deviationDb;
  const lossOf = (curve) =>
    curve.deviationDb.map((deviation, i) => (deviation === null ? null : data.points[i].lawDb + deviation));
  let printing = false;

  const palette = () => (dark.matches && !printing ? colours.dark : colours.light);
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

  const drawEdgeMark = (context, word, x, y, outward) => {
    context.fillStyle = palette().verdict[word];
    context.beginPath();
    context.moveTo(x, y);
    context.lineTo(x - 5, y - outward * 8);
    context.lineTo(x + 5, y - outward * 8);
    context.fill();
  };

  const allPoints = data.curves.length * data.points.length;
  const isAlone = (values, index) =>
    (values[index - 1] === null || index === 0) && (values[index + 1] === null || index === values.length - 1);

  /** Verdict shapes on the points, triangles for what lies outside the picture. */
  const markPlugin = (valuesOf) => ({
    id: 'marks',
    afterDatasetsDraw(chart) {
      const { ctx: context, chartArea: area, scales } = chart;
      // Rejects are drawn last, so that nothing covers them.
      for (const word of ['pass', 'void', 'doubt', 'fail']) {
        if (hidden.has(word)) continue;
        for (const curve of data.curves) {
          if (curve.verdict !== word) continue;
          const values = valuesOf(curve);
          values.forEach((value, index) => {
            if (value === null) return;
            const x = scales.x.getPixelForValue(data.points[index].travelMm);
            const y = scales.y.getPixelForValue(value);
            if (y < area.top - 0.5) drawEdgeMark(context, word, x, area.top + 1, -1);
            else if (y > area.bottom + 0.5) drawEdgeMark(context, word, x, area.bottom - 1, 1);
            else {
              const loud = curve.zones[index] !== 'p' || data.curves.length <= 4;
              if (loud || allPoints <= marksAtMost || isAlone(values, index))
                drawShape(context, word, x, y, loud ? 9 : 5);
            }
          });
        }
      }
    },
  });

  /** The printed scale of the fader above the plot, with a line down through it. */
  const scalePlugin = (withText) => ({
    id: 'printedScale',
    beforeDatasetsDraw(chart) {
      const { ctx: context, chartArea: area, scales } = chart;
      const { edge, rule, ink } = palette();
      context.save();
      context.font = `700 13px ${labelFonts}`;
      context.textAlign = 'center';
      context.textBaseline = 'alphabetic';
      context.lineWidth = 1;
      let lastRight = Number.NEGATIVE_INFINITY;
      for (const mark of marks) {
        const x = Math.round(scales.x.getPixelForValue(mark.travelMm)) + 0.5;
        context.strokeStyle = rule;
        context.beginPath();
        context.moveTo(x, area.top);
        context.lineTo(x, area.bottom);
        context.stroke();
        if (!withText) continue;
        context.strokeStyle = edge;
        context.beginPath();
        context.moveTo(x, area.top - 8);
        context.lineTo(x, area.top);
        context.stroke();
        const half = context.measureText(mark.text).width / 2;
        if (x - half < lastRight + 5) continue;
        context.fillStyle = ink;
        context.fillText(mark.text, x, area.top - 12);
        lastRight = x + half;
      }
      context.restore();
    },
  });

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
    ...(printing ? { devicePixelRatio: 3 } : {}),
    layout: { padding: { right: rightPx, ...layout } },
    interaction: { mode: 'nearest', intersect: false, axis: 'xy' },
    plugins: { legend: { display: false }, ...plugins },
    scales,
  });

  /** Upper edge, lower edge and the law itself, from the law's own samples. */
  const bandDatasets = (upper, lower, law) => {
    const { band, violet } = palette();
    const edge = { borderColor: violet, borderWidth: 0.75, pointRadius: 0, pointHitRadius: 0, borderDash: [1, 2] };
    return [
      { ...edge, data: upper, fill: '+1', backgroundColor: band, order: 30 },
      { ...edge, data: lower, fill: false, order: 30 },
      { data: law, borderColor: violet, borderWidth: 2, pointRadius: 0, pointHitRadius: 0, fill: false, order: 0 },
    ];
  };

  const rank = { fail: 1, doubt: 2, void: 3, pass: 4 };
  const curveDatasets = (valuesOf) =>
    data.curves
      .filter((curve) => !hidden.has(curve.verdict))
      .map((curve) => {
        const style = look[curve.verdict];
        const crowd = data.curves.length > 80 && curve.verdict === 'pass';
        return {
          about: curve,
          data: valuesOf(curve).map((y, index) => ({ x: data.points[index].travelMm, y })),
          borderColor: palette().verdict[curve.verdict] + (crowd ? '59' : curve.verdict === 'pass' ? 'b3' : ''),
          borderWidth: data.curves.length > 80 ? Math.min(1.25, style.lineWidthPx) : style.lineWidthPx,
          borderDash: style.lineDash,
          pointRadius: 0,
          pointHitRadius: 8,
          fill: false,
          spanGaps: false,
          // A stepped fader holds its loss on a contact; half way it changes to the next.
          stepped: data.stepped ? 'middle' : false,
          order: 10 + rank[curve.verdict],
        };
      });

  const curveTip = () =>
    tooltip({
      title: ([item]) => (item === undefined ? '' : item.dataset.about.serial),
      label: (item) => {
        const { about } = item.dataset;
        const deviation = about.deviationDb[item.dataIndex];
        return [
          `${about.verdict}, at ${item.parsed.x.toFixed(1)} mm`,
          `loss ${lossOf(about)[item.dataIndex].toFixed(2)} dB, deviation ${signed(deviation)} dB`,
        ];
      },
    });

  const lossChart = () => ({
    type: 'line',
    data: {
      datasets: [
        ...bandDatasets(
          data.band.map((s) => ({ x: s.travelMm, y: s.upperDb === null ? data.lossMaxDb : s.lossDb + s.upperDb })),
          data.band.map((s) => ({ x: s.travelMm, y: s.lossDb + s.lowerDb })),
          data.band.map((s) => ({ x: s.travelMm, y: s.lossDb })),
        ),
        ...curveDatasets(lossOf),
      ],
    },
    options: common(
      { tooltip: curveTip() },
      {
        x: travelAxis(),
        y: valueAxis({
          min: data.lossMinDb,
          max: data.lossMaxDb,
          reverse: true,
          ticks: { stepSize: 10, includeBounds: false },
        }),
      },
      { top: 30 },
    ),
    plugins: [scalePlugin(true), markPlugin(lossOf)],
  });

  const deviationChart = () => {
    const range = data.deviationRangeDb;
    return {
      type: 'line',
      data: {
        datasets: [
          ...bandDatasets(
            data.band.map((s) => ({ x: s.travelMm, y: s.upperDb === null ? range : s.upperDb })),
            data.band.map((s) => ({ x: s.travelMm, y: s.lowerDb })),
            [
              { x: 0, y: 0 },
              { x: data.travelMm, y: 0 },
            ],
          ),
          ...curveDatasets(deviationOf),
        ],
      },
      options: common(
        { tooltip: curveTip() },
        {
          x: travelAxis(),
          y: valueAxis({ min: -range, max: range, ticks: { callback: (value) => signed(value, 1) } }),
        },
        { top: 8 },
      ),
      plugins: [scalePlugin(false), markPlugin(deviationOf)],
    };
  };

  /** Diagonal lines, so that doubt is told from fail without colour. */
  const hatch = (colour) => {
    const tile = document.createElement('canvas');
    tile.width = 6;
    tile.height = 6;
    const context = tile.getContext('2d');
    context.strokeStyle = colour;
    context.lineWidth = 1.6;
    context.beginPath();
    for (const offset of [-6, 0, 6]) {
      context.moveTo(offset, 6);
      context.lineTo(offset + 6, 0);
    }
    context.stroke();
    return context.createPattern(tile, 'repeat');
  };

  const pointsChart = () => {
    const { verdict, ink } = palette();
    const most = Math.max(2, ...data.points.map((point) => Math.max(point.fail + point.doubt, point.worst)));
    const bars = (key, stack, fill, colour) => ({
      stack,
      about: key,
      data: data.points.map((point) => ({ x: point.travelMm, y: point[key] })),
      backgroundColor: fill,
      borderColor: colour,
      // An empty bar would still draw its outline.
      borderWidth: data.points.map((point) => (point[key] === 0 ? 0 : 1.25)),
      maxBarThickness: 13,
      categoryPercentage: 0.8,
      barPercentage: 0.92,
    });
    const names = { fail: 'fail here', doubt: 'in doubt here', worst: 'have their worst point here' };
    return {
      type: 'bar',
      data: {
        datasets: [
          bars('fail', 'zone', verdict.fail, verdict.fail),
          bars('doubt', 'zone', hatch(verdict.doubt), verdict.doubt),
          bars('worst', 'worst', 'transparent', ink),
        ],
      },
      options: {
        ...common(
          {
            tooltip: tooltip({
              title: ([item]) => (item === undefined ? '' : `${item.parsed.x.toFixed(1)} mm`),
              label: (item) => `${item.parsed.y} ${names[item.dataset.about]}`,
            }),
          },
          {
            x: { ...travelAxis(), stacked: true, offset: false },
            y: valueAxis({ min: 0, max: most, stacked: true, ticks: { precision: 0, maxTicksLimit: 6 } }),
          },
          { top: 8 },
        ),
        interaction: { mode: 'x', intersect: false },
      },
      plugins: [scalePlugin(false)],
    };
  };

  const resistanceChart = () => {
    const { resistance } = data;
    const { pencil, edge, rule } = palette();
    const levels = resistance.dots.reduce((most, dot) => Math.max(most, dot.level + 1), 1);
    const whole = (value) =>
      Math.round(value)
        .toString()
        .replace(/\B(?=(\d{3})+$)/g, '\u202f');
    return {
      type: 'scatter',
      data: {
        datasets: [
          {
            about: true,
            data: resistance.dots.map((dot) => ({
              x: Math.min(resistance.toOhm, Math.max(resistance.fromOhm, dot.ohm)),
              y: dot.level + 0.5,
            })),
            pointRadius: 0,
            pointHitRadius: 6,
          },
        ],
      },
      options: common(
        {
          tooltip: tooltip({
            title: ([item]) => (item === undefined ? '' : resistance.dots[item.dataIndex].serial),
            label: (item) => {
              const dot = resistance.dots[item.dataIndex];
              return `${dot.verdict}, ${whole(dot.ohm)} Ω`;
            },
          }),
        },
        {
          x: {
            type: 'linear',
            min: resistance.fromOhm,
            max: resistance.toOhm,
            border: { color: edge },
            grid: { display: false, tickColor: rule },
            ticks: {
              color: pencil,
              font: axisFont,
              maxRotation: 0,
              maxTicksLimit: 10,
              includeBounds: false,
              callback: (value) => whole(value),
            },
          },
          y: { display: false, min: 0, max: Math.max(3, levels + 0.5) },
        },
        { left: leftPx, top: 26 },
      ),
      plugins: [
        {
          id: 'strip',
          beforeDatasetsDraw(chart) {
            const { ctx: context, chartArea: area, scales } = chart;
            const { band, violet, ink } = palette();
            const [low, middle, high] = [resistance.lowerOhm, resistance.nominalOhm, resistance.upperOhm].map((ohm) =>
              scales.x.getPixelForValue(ohm),
            );
            context.save();
            context.fillStyle = band;
            context.fillRect(low, area.top, high - low, area.bottom - area.top);
            context.strokeStyle = violet;
            context.font = `13px ${labelFonts}`;
            context.fillStyle = ink;
            context.textAlign = 'center';
            const lines = [
              [low, 'lower limit', 1.5],
              [middle, 'nominal', 2],
              [high, 'upper limit', 1.5],
            ];
            for (const [x, text, width] of lines) {
              context.lineWidth = width;
              context.beginPath();
              context.moveTo(x, area.top - 4);
              context.lineTo(x, area.bottom);
              context.stroke();
              context.fillText(text, x, area.top - 9);
            }
            context.restore();
          },
          afterDatasetsDraw(chart) {
            const { ctx: context, chartArea: area, scales } = chart;
            const room = (area.bottom - area.top) / Math.max(3, levels + 0.5);
            const sizePx = Math.max(3, Math.min(11, room - 1));
            for (const dot of resistance.dots) {
              if (hidden.has(dot.verdict)) continue;
              const ohm = Math.min(resistance.toOhm, Math.max(resistance.fromOhm, dot.ohm));
              drawShape(
                context,
                dot.verdict,
                scales.x.getPixelForValue(ohm),
                scales.y.getPixelForValue(dot.level + 0.5),
                sizePx,
              );
            }
          },
        },
      ],
    };
  };

  const makers = { loss: lossChart, deviation: deviationChart, points: pointsChart, resistance: resistanceChart };
  let living = [];

  const draw = () => {
    for (const chart of living) chart.destroy();
    living = Object.entries(makers).map(([id, make]) => new Chart(document.getElementById(id), make()));
  };

  dark.addEventListener('change', draw);
  window.addEventListener('beforeprint', () => {
    printing = true;
    for (const id of Object.keys(makers)) document.getElementById(`${id}-frame`).style.width = `${printWidthPx}px`;
    draw();
  });
  window.addEventListener('afterprint', () => {
    printing = false;
    for (const id of Object.keys(makers)) document.getElementById(`${id}-frame`).style.width = '';
    draw();
  });
  for (const button of document.querySelectorAll('button[data-word]')) {
    button.addEventListener('click', () => {
      const { word } = button.dataset;
      if (!hidden.delete(word)) hidden.add(word);
      button.setAttribute('aria-pressed', String(!hidden.has(word)));
      draw();
    });
  }

  const openTarget = () => {
    const target = location.hash === '' ? null : document.getElementById(decodeURIComponent(location.hash.slice(1)));
    if (target instanceof HTMLDetailsElement) {
      target.open = true;
      target.scrollIntoView();
    }
  };
  window.addEventListener('hashchange', openTarget);

  draw();
  openTarget();
})();
