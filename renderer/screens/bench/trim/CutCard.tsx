import type { ReactElement } from 'react';
import type { Cut, CuttingRules } from '../../../../src/trim/trim.ts';
import { cutSentence, cutText } from './cut-text.ts';
import { Lens } from './Lens.tsx';
import type { DrawnCut } from './trim-stage.ts';

interface CutCardProps {
  readonly cut: Cut;
  readonly cuts: readonly DrawnCut[];
  readonly rules: CuttingRules;
  readonly travelMm: number;
}

/** One cut: its place in true shape, and its measures large enough for an arm's length. */
export function CutCard(props: CutCardProps): ReactElement {
  const { kind, placeMm, lengthMm, depthMm, side } = cutText(props.cut);
  return (
    <div className="cut-card">
      <Lens {...props} />
      <dl aria-label={cutSentence(props.cut)}>
        <div>
          <dt>{kind} at, mm</dt>
          <dd>{placeMm}</dd>
        </div>
        <div>
          <dt>Length</dt>
          <dd>{lengthMm === null ? 'one blade' : <Millimetres text={lengthMm} />}</dd>
        </div>
        <div>
          <dt>Depth</dt>
          <dd>
            <Millimetres text={depthMm} />
          </dd>
        </div>
        <div>
          <dt>Side, closed below</dt>
          <dd>{side}</dd>
        </div>
      </dl>
    </div>
  );
}

function Millimetres({ text }: { readonly text: string }): ReactElement {
  return (
    <>
      {text}
      <span className="unit"> mm</span>
    </>
  );
}
