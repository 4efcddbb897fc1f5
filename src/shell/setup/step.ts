/** What became of one step. */
export interface StepResult {
  readonly step: string;
  /** `ready`: nothing was missing. `done`: it was missing and is there now. `left`: a person must act. */
  readonly state: 'ready' | 'done' | 'left';
  readonly text: string;
  /** The one line that a person runs for what is left. */
  readonly line?: string;
  /** True: the window and its tests work without it. */
  readonly isOptional?: boolean;
}

export type Step = () => Promise<StepResult>;

/** Runs every step in order; a step that throws is left to do, the others go on. */
export async function runSteps(steps: Readonly<Record<string, Step>>): Promise<readonly StepResult[]> {
  const results: StepResult[] = [];
  for (const [step, run] of Object.entries(steps)) {
    try {
      results.push(await run());
    } catch (cause) {
      results.push({ step, state: 'left', text: cause instanceof Error ? cause.message : String(cause) });
    }
  }
  return results;
}
