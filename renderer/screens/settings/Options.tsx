import type { ReactElement } from 'react';

interface OptionsProps<T extends string> {
  readonly name: string;
  /** What the choice changes. */
  readonly says: string;
  readonly value: T | undefined;
  readonly options: readonly { readonly id: T; readonly name: string; readonly note?: string }[];
  readonly onChoose: (id: T) => void;
}

/** One of a few: every choice in sight, each a whole row to press. */
export function Options<T extends string>({ name, says, value, options, onChoose }: OptionsProps<T>): ReactElement {
  return (
    <fieldset className="options">
      <legend>{name}</legend>
      <p className="soft">{says}</p>
      {options.map((option) => (
        <label key={option.id}>
          <input type="radio" name={name} checked={option.id === value} onChange={() => onChoose(option.id)} />
          <span>{option.name}</span>
          {option.note !== undefined && <span className="soft">{option.note}</span>}
        </label>
      ))}
    </fieldset>
  );
}
