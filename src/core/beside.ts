/** What a core does while another one may be at work on the same archive: it looks, and adds laws and certificates. */
import type { CommandName } from '../contract/commands.ts';
import { ContractError } from '../contract/errors.ts';
import type { Handlers } from './server.ts';

const allowed: ReadonlySet<string> = new Set<CommandName>([
  'snapshot',
  'rig.ports',
  'rig.calibrations',
  'rig.storeCalibration',
  'run.read',
  'runs.find',
  'runs.lastPieces',
  'runs.ofSerial',
  'law.list',
  'law.check',
  'law.store',
  'law.write',
  'law.whereUsed',
  'export.write',
  'report.write',
  'archive.backup',
  'settings.read',
  'trim.piece',
  'trim.batch',
  'trim.report',
  'trim.settings.read',
  'doctor',
]);

/** The same handlers, of which those that measure, connect or move refuse. */
export function besideHandlers(all: Handlers): Handlers {
  const entries = Object.entries(all).map(([name, handler]) => {
    const refuse = (): never => {
      throw new ContractError(`The call ${name}`, 'this core was started to look only and holds no station');
    };
    return [name, allowed.has(name) ? handler : refuse];
  });
  return Object.fromEntries(entries) as Handlers;
}
