import type { ReactElement } from 'react';

/** Who stands at the bench. */
export function WhoStep({
  initials,
  onChange,
}: {
  readonly initials: string;
  readonly onChange: (text: string) => void;
}): ReactElement {
  return (
    <>
      <p className="lead">
        Faderwright measures a slide fader against its law and says pass, doubt or fail. Every result is kept under the
        fader’s serial and signed with your initials.
      </p>
      <label className="field">
        <span className="engraved">Your initials</span>
        <input
          type="text"
          className="initials"
          value={initials}
          maxLength={8}
          autoComplete="off"
          spellCheck={false}
          // biome-ignore lint/a11y/noAutofocus: the only field of a dialog that was just opened
          autoFocus
          onChange={(event) => onChange(event.currentTarget.value)}
        />
      </label>
    </>
  );
}
