import { type FormEvent, type ReactElement, useState } from 'react';
import { settingsStore, writeSettings } from '../../bridge/station.ts';
import { useStore } from '../../bridge/store.ts';
import { initialsOf } from '../../frame/first-start/steps.ts';
import { chosenOperator } from '../bench/job-slip.ts';

export function OperatorsTopic(): ReactElement {
  const operators = useStore(settingsStore)?.operators ?? [];
  const here = useStore(chosenOperator);
  const [text, setText] = useState('');
  const [problem, setProblem] = useState<string | null>(null);

  const add = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    const initials = initialsOf(text);
    if (initials === null) return setProblem('Give one to eight letters or digits, without spaces.');
    if (operators.includes(initials)) return setProblem(`${initials} is on the list already.`);
    setProblem(null);
    await writeSettings({ operators: [...operators, initials] });
    setText('');
  };

  return (
    <>
      <p className="soft">
        Whoever stands on this list can be chosen on the Bench. Results keep the initials they were signed with, even
        after somebody left the list. The first one is offered at start.
      </p>
      <form className="adding" onSubmit={(event) => void add(event)}>
        <label>
          <span className="engraved">New initials</span>
          <input
            type="text"
            value={text}
            maxLength={8}
            autoComplete="off"
            spellCheck={false}
            onChange={(event) => setText(event.currentTarget.value)}
          />
        </label>
        <button type="submit" className="key">
          Add
        </button>
      </form>
      <p className="problem" role="alert">
        {problem}
      </p>
      {operators.length === 0 ? (
        <p className="lead">Nobody yet. Add your initials, then the Bench can measure.</p>
      ) : (
        <ul className="lines">
          {operators.map((initials, index) => (
            <li key={initials}>
              <strong>{initials}</strong>
              <span className="soft">
                {[index === 0 ? 'offered at start' : '', initials === here ? 'at the bench now' : '']
                  .filter((note) => note !== '')
                  .join(', ')}
              </span>
              {index > 0 && (
                <button
                  type="button"
                  className="key"
                  aria-label={`Put ${initials} first`}
                  onClick={() =>
                    void writeSettings({ operators: [initials, ...operators.filter((other) => other !== initials)] })
                  }
                >
                  First
                </button>
              )}
              <button
                type="button"
                className="key"
                aria-label={`Remove ${initials}`}
                onClick={() => void writeSettings({ operators: operators.filter((other) => other !== initials) })}
              >
                Remove
              </button>
            </li>
          ))}
        </ul>
      )}
    </>
  );
}
