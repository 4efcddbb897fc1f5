import type { ReactElement } from 'react';
import { type RigWish, virtualBatch } from './steps.ts';

interface VirtualChoiceProps {
  readonly wish: RigWish;
  readonly onChange: (wish: RigWish) => void;
  readonly onChoose: () => void;
}

const speeds = [
  { timeFactor: 1, name: 'As fast as a real rig' },
  { timeFactor: 10, name: 'Ten times faster' },
] as const;

/** The virtual rig: what it is, and the number that decides which faders it holds. */
export function VirtualChoice({ wish, onChange, onChoose }: VirtualChoiceProps): ReactElement {
  const isChosen = wish.choice?.kind === 'virtual';
  return (
    <div className="rig-choice">
      <input type="radio" name="rig" id="rig-virtual" checked={isChosen} onChange={onChoose} />
      <span>
        <label htmlFor="rig-virtual">
          <strong>Virtual rig</strong>{' '}
          <span className="soft">
            A model of rig and faders in this computer: {virtualBatch.size} programme faders, some of them faulty. Its
            results are marked on every screen and are never those of a real fader.
          </span>
        </label>
        {isChosen && (
          <span className="virtual-wish">
            <label>
              <span className="engraved">Seed, same number = same faders</span>
              <input
                type="text"
                inputMode="numeric"
                value={wish.seed}
                maxLength={9}
                autoComplete="off"
                onChange={(event) => onChange({ ...wish, seed: event.currentTarget.value })}
              />
            </label>
            <label>
              <span className="engraved">Speed</span>
              <select
                value={wish.timeFactor}
                onChange={(event) => onChange({ ...wish, timeFactor: Number(event.currentTarget.value) })}
              >
                {speeds.map(({ timeFactor, name }) => (
                  <option key={timeFactor} value={timeFactor}>
                    {name}
                  </option>
                ))}
              </select>
            </label>
          </span>
        )}
      </span>
    </div>
  );
}
