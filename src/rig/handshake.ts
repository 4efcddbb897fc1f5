import { decodeLimits, type WireLine } from '../../firmware-protocol/codec/index.ts';
import type { RigIdentity, RigLimits } from '../procedure/rig-port.ts';
import { IncompatibleRigError, NoAnswerError, RigRefusedError } from './errors.ts';
import type { Link } from './link.ts';

/** Version of the protocol this program speaks. */
export const PROTOCOL_VERSION = 1;

/** Some boards restart when the port is opened and need a while before they listen. */
const GREETING_PATIENCE_MS = 3000;
const GREETINGS_MAX = 3;
const LIMIT_PAGES_MAX = 20;

/**
 * Greets whatever is at the other end and learns who it is and what it can do.
 * Rejects with IncompatibleRigError, NoAnswerError (nothing there), LineLostError or CancelledError.
 */
export async function greet(
  link: Link,
  random16: () => number,
  signal?: AbortSignal,
): Promise<{ readonly identity: RigIdentity; readonly limits: RigLimits }> {
  const identity = await identify(link, random16, signal);
  link.openSession();
  return { identity, limits: await readLimits(link, identity, signal) };
}

async function identify(link: Link, random16: () => number, signal?: AbortSignal): Promise<RigIdentity> {
  for (let greeting = 1; ; greeting += 1) {
    link.startNumberingAt(random16());
    try {
      const answer = await link.order(
        { word: 'hello', fields: { v: PROTOCOL_VERSION }, expectedMs: 0, patienceMs: GREETING_PATIENCE_MS },
        signal,
      );
      const identity = readIdentity(answer);
      if (identity !== null) return requireVersion(link, identity);
    } catch (error) {
      if (error instanceof RigRefusedError) throwIfVersion(link, error);
      else throw error instanceof NoAnswerError ? explainSilence(link, error) : error;
    }
    // Number drawn by chance was that of the last session's last order: the rig repeated that order's answer.
    if (greeting === GREETINGS_MAX) {
      throw new IncompatibleRigError(
        `The device on ${link.transport.name} answers, but not with the name and version of a rig. Choose another port or update the rig's firmware.`,
      );
    }
  }
}

function readIdentity(answer: WireLine): RigIdentity | null {
  const { rig, ser, fw } = answer.texts;
  const { v, sim } = answer.fields;
  if (rig === undefined || ser === undefined || fw === undefined || v === undefined || sim === undefined) return null;
  return { model: rig, serial: ser, firmware: fw, protocol: v, isVirtual: sim !== 0 };
}

function requireVersion(link: Link, identity: RigIdentity): RigIdentity {
  if (identity.protocol === PROTOCOL_VERSION) return identity;
  throw new IncompatibleRigError(
    `${describe(identity)} on ${link.transport.name} speaks protocol ${identity.protocol}; this program speaks ${PROTOCOL_VERSION}. Update the older of the two.`,
  );
}

function throwIfVersion(link: Link, refused: RigRefusedError): void {
  if (refused.refusal !== 'version') return;
  const { lo, hi } = refused.details;
  const range = lo === undefined || hi === undefined ? 'another version' : lo === hi ? `${lo}` : `${lo} to ${hi}`;
  throw new IncompatibleRigError(
    `The rig on ${link.transport.name} speaks protocol ${range}; this program speaks ${PROTOCOL_VERSION}. Update the rig's firmware or this program.`,
    { cause: refused },
  );
}

function explainSilence(link: Link, silence: NoAnswerError): Error {
  const { linesIn, badLines } = link.statistics();
  if (badLines === 0 || badLines < linesIn) return silence;
  return new IncompatibleRigError(
    `The device on ${link.transport.name} sends lines, but none this program understands (${badLines} so far). It is not a rig, or its firmware is too old. Choose another port or update the firmware.`,
    { cause: silence },
  );
}

async function readLimits(link: Link, identity: RigIdentity, signal?: AbortSignal): Promise<RigLimits> {
  const pages: Readonly<Record<string, number>>[] = [];
  for (let page = 0; page < LIMIT_PAGES_MAX; page += 1) {
    const answer = await link.order({ word: 'limits', fields: { page }, expectedMs: 0 }, signal);
    pages.push(answer.fields);
    if (answer.fields.more !== 1) break;
  }
  try {
    return decodeLimits(pages);
  } catch (cause) {
    const detail = cause instanceof Error ? cause.message : String(cause);
    throw new IncompatibleRigError(`${describe(identity)} on ${link.transport.name} cannot be used. ${detail}`, {
      cause,
    });
  }
}

/** Name for messages: model, serial number, firmware. */
export function describe(identity: RigIdentity): string {
  return `The rig ${identity.model} ${identity.serial} (firmware ${identity.firmware})`;
}
