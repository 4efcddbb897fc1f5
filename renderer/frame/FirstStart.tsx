import './first-start/first-start.css';
import { type FormEvent, type ReactElement, type ReactNode, useEffect, useRef, useState } from 'react';
import { toErrorData } from '../../src/contract/errors.ts';
import { settingsStore, writeSettings } from '../bridge/station.ts';
import { useStore } from '../bridge/store.ts';
import { chosenLaw, chosenOperator } from '../screens/bench/job-slip.ts';
import { Cautions } from './Cautions.tsx';
import { connectChosen } from './first-start/connect-chosen.ts';
import { RigStep } from './first-start/RigStep.tsx';
import { initialsOf, type RigWish, type StepName, seedOf, steps, virtualLawId } from './first-start/steps.ts';
import { WhoStep } from './first-start/WhoStep.tsx';
import { openScreen } from './open-screen.ts';

const titles: Readonly<Record<StepName, string>> = {
  who: 'Who measures?',
  rig: 'Which rig?',
  cautions: 'Before anything moves',
};
const goOn: Readonly<Record<StepName, string>> = { who: 'Next', rig: 'Connect', cautions: 'To the Bench' };

/** Guided first start over the Bench: who, which rig, cautions. Enter goes on; nothing moves in here. */
export function FirstStart(): ReactElement {
  const known = useStore(settingsStore)?.operators ?? [];
  const dialog = useRef<HTMLDialogElement>(null);
  const mainKey = useRef<HTMLButtonElement>(null);
  const [step, setStep] = useState<StepName>('who');
  const [initials, setInitials] = useState(known[0] ?? '');
  const [rig, setRig] = useState<RigWish>({ choice: null, seed: '1', timeFactor: 1 });
  const [problem, setProblem] = useState<readonly string[]>([]);
  const [isBusy, setBusy] = useState(false);

  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  // The field that had the focus is gone with its page; Enter must go on all the same.
  useEffect(() => {
    if (step !== 'who') mainKey.current?.focus();
  }, [step]);

  const who = initialsOf(initials);

  const finish = async (): Promise<void> => {
    const operators = who === null ? known : [who, ...known.filter((other) => other !== who)];
    await writeSettings({ operators: [...operators], firstStartDone: true });
    if (who !== null) chosenOperator.set(who);
    openScreen('bench');
  };

  const connect = async (): Promise<void> => {
    const seed = seedOf(rig.seed);
    if (rig.choice === null) return setProblem(['Choose a rig.']);
    if (rig.choice.kind === 'virtual' && seed === null) return setProblem(['The seed is a whole number, 0 or more.']);
    setBusy(true);
    try {
      await connectChosen(rig.choice, { seed: seed ?? 0, timeFactor: rig.timeFactor });
      if (rig.choice.kind === 'virtual') chosenLaw.set(virtualLawId);
      setStep('cautions');
    } catch (error) {
      const { message, details } = toErrorData(error);
      setProblem([message, ...details]);
    } finally {
      setBusy(false);
    }
  };

  const onSubmit = (event: FormEvent): void => {
    event.preventDefault();
    setProblem([]);
    if (step === 'rig') void connect();
    else if (step === 'cautions') void finish();
    else if (who === null) setProblem(['Give one to eight letters or digits, without spaces.']);
    else setStep('rig');
  };

  const pages: Readonly<Record<StepName, ReactNode>> = {
    who: <WhoStep initials={initials} onChange={setInitials} />,
    rig: <RigStep wish={rig} onChange={setRig} />,
    cautions: <Cautions />,
  };
  const at = steps.indexOf(step);
  const before = steps[at - 1];

  return (
    <dialog
      ref={dialog}
      className="first-start"
      aria-labelledby="first-start-title"
      onCancel={(e) => e.preventDefault()}
    >
      <form onSubmit={onSubmit}>
        <p className="engraved">
          First start, {at + 1} of {steps.length}
        </p>
        <h1 id="first-start-title">{titles[step]}</h1>
        <div className="page" key={step}>
          {pages[step]}
        </div>
        <div className="problem" role="alert">
          {problem.map((line) => (
            <p key={line}>{line}</p>
          ))}
        </div>
        <div className="ways">
          <button ref={mainKey} type="submit" className="key main next" disabled={isBusy}>
            <span>{isBusy ? 'Connecting' : goOn[step]}</span>
            <span className="cap">Enter</span>
          </button>
          {before !== undefined && (
            <button type="button" className="key" disabled={isBusy} onClick={() => setStep(before)}>
              Back
            </button>
          )}
          <button type="button" className="key" disabled={isBusy} onClick={() => void finish()}>
            Leave the guide
          </button>
        </div>
      </form>
    </dialog>
  );
}
