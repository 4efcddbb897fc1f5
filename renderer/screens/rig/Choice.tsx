import type { ReactElement } from 'react';

interface ChoiceProps<T extends string | number> {
  readonly name: string;
  readonly options: readonly T[];
  readonly chosen: T;
  readonly onChoose: (option: T) => void;
  readonly unit?: string;
  readonly words?: Readonly<Record<T, string>>;
  readonly isDisabled?: boolean;
}

/** A few things of which one holds, side by side and large enough for a glove. */
export function Choice<T extends string | number>(props: ChoiceProps<T>): ReactElement {
  const { name, options, chosen, onChoose, unit, words, isDisabled = false } = props;
  return (
    <fieldset className="choice" disabled={isDisabled}>
      <legend className="engraved">
        {name}
        {unit !== undefined && <span className="unit"> {unit}</span>}
      </legend>
      {options.map((option) => (
        <label key={option} data-chosen={option === chosen}>
          <input type="radio" name={name} checked={option === chosen} onChange={() => onChoose(option)} />
          {words?.[option] ?? option}
        </label>
      ))}
    </fieldset>
  );
}
