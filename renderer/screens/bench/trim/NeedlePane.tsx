import type { ReactElement } from 'react';
import type { NeedleReading, TrimPiece } from '../../../../src/contract/trim.ts';
import type { LawData } from '../../../../src/law/law.ts';
import { dash, numberText } from '../../../format/numbers.ts';
import { SerialText } from '../SerialText.tsx';
import { ApproachBar } from './ApproachBar.tsx';
import { leftOhm, leftS, ohmPlaces } from './approach.ts';
import { CutCard } from './CutCard.tsx';
import { CutCautions } from './CutCautions.tsx';
import { cutsLeft, type DrawnCut } from './trim-stage.ts';
import { useNeedleVoice } from './use-needle-voice.ts';

interface NeedlePaneProps {
  readonly needle: NeedleReading;
  readonly piece: TrimPiece;
  readonly law: LawData | null;
  readonly cuts: readonly DrawnCut[];
}

/** The live needle: one cell on its way to its target while a hand cuts. */
export function NeedlePane({ needle, piece, law, cuts }: NeedlePaneProps): ReactElement {
  useNeedleVoice(needle);
  const cell = piece.cells[needle.cellIndex];
  const places = ohmPlaces(needle.targetOhm);
  const cut = cutsLeft(piece).find(({ cellIndex }) => cellIndex === needle.cellIndex);
  return (
    <section className="travel needle-pane" aria-label="Live needle">
      <header>
        <div>
          <h2 className="value">
            <SerialText serial={needle.serial} />
          </h2>
          <p className="soft">
            live needle, cell {needle.cellIndex + 1}
            {cell !== undefined && `, ${numberText(cell.fromMm, 1)} to ${numberText(cell.toMm, 1)} mm`}
          </p>
        </div>
        <p className="position">
          <span className="engraved">Wiper parked at</span>
          <span className="value">
            {numberText(needle.parkedMm, 2)}
            <span className="unit"> mm</span>
          </span>
        </p>
      </header>
      <ApproachBar approach={needle} />
      <dl className="needle-values">
        <Value name="Cell now" text={numberText(needle.nowOhm, places)} unit="Ω" />
        <Value name="Still to the stop line" text={numberText(leftOhm(needle), places)} unit="Ω" />
        <Value name="Rate" text={numberText(needle.rateOhmPerS, places)} unit="Ω/s" />
        <Value name="Time left" text={numberText(leftS(needle, needle.rateOhmPerS), 1)} unit="s" />
      </dl>
      {cut !== undefined && piece.rules !== null && law !== null && (
        <CutCard cut={cut} cuts={cuts} rules={piece.rules} travelMm={law.travelMm} />
      )}
      <CutCautions />
    </section>
  );
}

function Value({
  name,
  text,
  unit,
}: {
  readonly name: string;
  readonly text: string;
  readonly unit: string;
}): ReactElement {
  return (
    <div>
      <dt>{name}</dt>
      <dd className="value">
        {text}
        {text !== dash && <span className="unit"> {unit}</span>}
      </dd>
    </div>
  );
}
