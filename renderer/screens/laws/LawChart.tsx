import { type ReactElement, useMemo } from 'react';
import type { Law } from '../../../src/law/build.ts';
import '../../charts/charts.css';
import { ChartCanvas } from '../../charts/ChartCanvas.tsx';
import { usePalette } from '../../charts/use-palette.ts';
import { numberText } from '../../format/numbers.ts';
import { bandColumn, lossColumn, slopeColumn } from './law-columns.ts';

interface LawChartProps {
  readonly law: Law;
  readonly second: Law | null;
}

/** The fader upright, and beside it on the same travel what the law asks, what it allows, and how steep it is. */
export function LawChart({ law, second }: LawChartProps): ReactElement {
  const palette = usePalette();
  const [loss, band, slope] = useMemo(() => {
    const columns = { law, second, palette };
    return [lossColumn(columns), bandColumn(columns), slopeColumn(columns)] as const;
  }, [law, second, palette]);
  const first = law.points[0];
  return (
    <>
      <div className="law-columns">
        <ChartCanvas config={loss} label={`Loss of ${law.id} over the travel`} />
        <ChartCanvas config={band} label={`Allowed deviation of ${law.id} over the travel`} />
        <ChartCanvas config={slope} label={`Slope of ${law.id} over the travel`} />
      </div>
      <p className="law-closed soft">
        Closed: at least {numberText(law.closedMinLossDb, 1)} dB
        {first !== undefined && `; below ${numberText(first.travelMm, 1)} mm the law asks for nothing else`}.
      </p>
    </>
  );
}
