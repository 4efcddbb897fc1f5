// What is drawn over and under the curves: verdict shapes on the points, and the printed scale of the fader.
(() => {
  const { data, labelFonts, hidden, palette, drawShape } = window.sheet;
  // Beyond so many points a mark on each would hide the curves; then only what is not a plain pass is marked.
  const marksAtMost = 900;
  const marks = [...data.marks].sort((a, b) => a.travelMm - b.travelMm);

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

  Object.assign(window.sheet, { markPlugin, scalePlugin });
})();
