/** Puts on record what a measurement of a piece means: what its cuts taught, its sort, the next plan or its end. */
import type { Archive } from '../archive/archive.ts';
import type { RunRecord } from '../archive/records.ts';
import type { ToolBeliefRecord, TrimEvent } from '../archive/trim-records.ts';
import type { ToolKind } from '../trim/belief.ts';
import { cuttingRulesFor } from '../trim/cutting-rules.ts';
import { loadLinearSolver } from '../trim/solver.ts';
import { findLaw } from './law-desk.ts';
import { historyOf, isAtEnd } from './trim-history.ts';
import { beliefNow, compareWithPlan, decide, measuredContent, profileOf } from './trim-planning.ts';
import { sheetOf, type TrimRequest } from './trim-request.ts';
import { readTrimSettings } from './trim-settings.ts';

/**
 * All in one transaction: a power cut leaves either the piece as it was, to be measured again, or the whole conclusion.
 *
 * @param run a completed run that is not void
 * @param filmSince since when the virtual tracks of the present virtual rig exist, ISO 8601; null = no virtual rig began
 * @throws SolverError: then the measurement and what it taught are kept, without a plan
 */
export async function conclude(
  archive: Archive,
  run: RunRecord,
  request: TrimRequest,
  filmSince: string | null,
  now: () => Date,
): Promise<void> {
  const { serial, runId, lawId, lawRevision } = run;
  const solver = await loadLinearSolver();
  const law = findLaw(archive, lawId, lawRevision);
  const rules = cuttingRulesFor(law.id);
  const rigSerial = run.rig?.serial;
  if (rules === null || rigSerial === undefined) return;
  const settings = readTrimSettings(archive);
  const sheet = sheetOf(request);
  const beliefOf = (toolId: string, kind: ToolKind) =>
    beliefNow(archive.toolBeliefs(rigSerial, toolId, law.id)[0] ?? null, kind, sheet);
  const known = historyOf(archive.trimEvents(serial));
  const isFresh =
    run.rig?.isVirtual === true &&
    known !== null &&
    isAtEnd(known.state) &&
    filmSince !== null &&
    Date.parse(known.last.at) < Date.parse(filmSince);
  const history = isFresh ? null : known;
  const profile = profileOf(run, law, rules);
  const cutWith = history?.passes.at(-1);
  const compared =
    history === null || profile === null || cutWith === undefined
      ? { cutsFound: [], gain: null }
      : compareWithPlan(history, profile, beliefOf(cutWith.toolId, cutWith.toolKind));
  const tool = request.tool ?? { id: settings.toolId, kind: settings.toolKind };
  const isSameTool = cutWith?.toolId === tool.id && cutWith.toolKind === tool.kind;
  const belief = isSameTool && compared.gain !== null ? compared.gain.after : beliefOf(tool.id, tool.kind);
  const found = cutWith?.plan.cuts.filter(({ number }) => compared.cutsFound.includes(number)) ?? [];
  const at = now().toISOString();
  const { batch, operator } = request;
  const frame = {
    ...{ serial, batch, pass: history?.pass ?? 0, runId, lawId, lawRevision },
    ...{ toolId: tool.id, toolKind: tool.kind, operator, at },
  };
  const cuts = [...(history?.cuts ?? []), ...found];
  const measured: TrimEvent = {
    ...frame,
    state: 'measured',
    content: measuredContent(run, profile, rules, compared, isFresh),
  };
  const learnt: ToolBeliefRecord | null =
    compared.gain === null || cutWith === undefined
      ? null
      : {
          ...{ rigSerial, toolId: cutWith.toolId, toolKind: cutWith.toolKind, trackType: law.id, sheet },
          ...{ cause: 'learnt', ...compared.gain.after, runId, reason: null, operator, at },
        };
  let events: readonly TrimEvent[] = [measured];
  try {
    const uncutOhm = history?.firstMeasured.profile?.cells.map(({ ohm }) => ohm) ?? null;
    const measurement = { run, law, rules, cuts, uncutOhm, pass: frame.pass, belief, settings };
    events = [measured, { ...frame, ...decide(measurement, solver) }];
  } finally {
    archive.recordTrim(events, learnt);
  }
}
