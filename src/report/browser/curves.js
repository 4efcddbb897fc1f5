// Loss and deviation of every fader over the band of the law.
(() => {
  const { data, look, hidden, palette, deviationOf, lossOf, signed } = window.sheet;
  const { travelAxis, valueAxis, tooltip, common, markPlugin, scalePlugin, makers } = window.sheet;

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

  makers.loss = lossChart;
  makers.deviation = deviationChart;
})();
