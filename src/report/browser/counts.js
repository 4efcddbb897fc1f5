// How often each law point is to blame, and the resistance of every track.
(() => {
  const { data, labelFonts, hidden, palette, drawShape, leftPx, axisFont } = window.sheet;
  const { travelAxis, valueAxis, tooltip, common, scalePlugin, makers } = window.sheet;

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
            y: valueAxis({ min: 0, suggestedMax: most, stacked: true, ticks: { precision: 0, maxTicksLimit: 6 } }),
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

  makers.points = pointsChart;
  makers.resistance = resistanceChart;
})();
