/** Looks at everything a bench needs and says of each what is and what to do. */
import type { Archive } from '../archive/archive.ts';
import { listPorts } from '../rig/ports.ts';

export interface DoctorFinding {
  readonly subject: string;
  readonly state: 'good' | 'attention' | 'bad';
  readonly text: string;
  readonly remedy: string | null;
}

export interface DoctorFacts {
  readonly programVersion: string;
  readonly node: string;
  readonly platform: string;
  /** Can a pseudo-terminal be served here? Null = yes, else why not. */
  readonly ptyProblem: string | null;
  /** True = a station is at work on the same archive. */
  readonly isBesideStation?: boolean;
}

const good = (subject: string, text: string): DoctorFinding => ({ subject, state: 'good', text, remedy: null });

export async function examine(archive: Archive, facts: DoctorFacts): Promise<DoctorFinding[]> {
  return findings(databaseFinding(archive, facts.isBesideStation === true), facts);
}

/** The same without an archive: it could not be opened, for the reason given. */
export async function examineWithoutArchive(
  path: string,
  reason: string,
  facts: DoctorFacts,
): Promise<DoctorFinding[]> {
  return findings({ subject: 'database', state: 'bad', text: `${path} cannot be opened.`, remedy: reason }, facts);
}

async function findings(database: DoctorFinding, facts: DoctorFacts): Promise<DoctorFinding[]> {
  return [
    good('runtime', `Faderwright ${facts.programVersion} on Node ${facts.node}, ${facts.platform}.`),
    database,
    ...(await portFindings()),
    facts.ptyProblem === null
      ? good('virtual rig', 'Can be served on a pseudo-terminal.')
      : {
          subject: 'virtual rig',
          state: 'attention',
          text: `No pseudo-terminal here: ${facts.ptyProblem}`,
          remedy: 'nothing; the virtual rig runs inside the program instead',
        },
  ];
}

function databaseFinding(archive: Archive, isBesideStation: boolean): DoctorFinding {
  const { findings, runsVerified } = archive.checkIntegrity('full');
  if (findings.length === 0) {
    const use = isBesideStation ? ', in use by the running station' : '';
    return good('database', `${archive.path}: whole, form ${archive.version}, ${runsVerified} runs verified${use}.`);
  }
  return {
    subject: 'database',
    state: 'bad',
    text: `${archive.path}: ${findings.length} findings, first: ${findings[0]}`,
    remedy: 'stop using this file, copy it away untouched, and go on with the newest backup',
  };
}

async function portFindings(): Promise<DoctorFinding[]> {
  const ports = await listPorts();
  if (ports.length === 0) {
    return [
      {
        subject: 'ports',
        state: 'attention',
        text: 'No serial port found.',
        remedy: 'plug the rig in, or use a virtual rig',
      },
    ];
  }
  // A rig needs one port only: a built-in one that is forbidden is no trouble while another can be opened.
  const state = ports.some((port) => port.problem === null) ? 'attention' : 'bad';
  return ports.map(({ path, vendor, product, problem }) => {
    const what = [vendor, product].filter((text) => text !== null).join(' ') || 'maker unknown';
    if (problem === null) return good('ports', `${path} (${what}) can be opened.`);
    return { subject: 'ports', state, text: `${path} (${what}) cannot be opened.`, remedy: problem.message };
  });
}
