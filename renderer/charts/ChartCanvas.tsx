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
}

export function ChartCanvas({ config, label }: ChartCanvasProps): ReactElement {
  const canvas = useRef<HTMLCanvasElement>(null);
  const chart = useRef<Chart | null>(null);

  useEffect(() => {
    if (chart.current === null) {
      if (canvas.current === null) return;
      chart.current = new Chart(canvas.current, config as ChartConfiguration);
      return;
    }
    const now = chart.current;
    now.data = config.data;
    if (config.options !== undefined) now.options = config.options;
    now.config.plugins = (config as ChartConfiguration).plugins ?? [];
    now.update('none');
  }, [config]);

  useEffect(
    () => () => {
      chart.current?.destroy();
      chart.current = null;
    },
    [],
  );

  return (
    <div className="canvas-place">
      <canvas ref={canvas} role="img" aria-label={label} />
    </div>
  );
}
