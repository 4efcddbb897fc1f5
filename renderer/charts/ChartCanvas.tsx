/** A Chart.js chart in React's tree: made once, updated in place, destroyed with its element. */
import {
  Chart,
  type ChartConfiguration,
  Decimation,
  Legend,
  LinearScale,
  LineController,
  LineElement,
  PointElement,
  ScatterController,
  Tooltip,
} from 'chart.js';
import { type ReactElement, useEffect, useRef } from 'react';

Chart.register(Decimation, Legend, LinearScale, LineController, LineElement, PointElement, ScatterController, Tooltip);

interface ChartCanvasProps {
  readonly config: ChartConfiguration<'scatter' | 'line'>;
  /** What the chart shows, in words, for those who do not see it. */
  readonly label: string;
  /** Called with the chart once it is made, and with null when it goes: for pointing, panning and redrawing. */
  readonly onChart?: (chart: Chart | null) => void;
}

export function ChartCanvas({ config, label, onChart }: ChartCanvasProps): ReactElement {
  const canvas = useRef<HTMLCanvasElement>(null);
  const chart = useRef<Chart | null>(null);
  const tell = useRef(onChart);
  tell.current = onChart;

  useEffect(() => {
    if (chart.current === null) {
      if (canvas.current === null) return;
      // A list of our own, because it is filled anew later.
      const plugins = [...((config as ChartConfiguration).plugins ?? [])];
      chart.current = new Chart(canvas.current, { ...(config as ChartConfiguration), plugins });
      tell.current?.(chart.current);
      return;
    }
    const now = chart.current;
    now.data = config.data;
    if (config.options !== undefined) now.options = config.options;
    // The chart's own list cannot be replaced, only filled anew.
    now.config.plugins?.splice(0, Number.POSITIVE_INFINITY, ...((config as ChartConfiguration).plugins ?? []));
    now.update('none');
  }, [config]);

  useEffect(
    () => () => {
      chart.current?.destroy();
      chart.current = null;
      tell.current?.(null);
    },
    [],
  );

  return (
    <div className="canvas-place">
      <canvas ref={canvas} role="img" aria-label={label} />
    </div>
  );
}
