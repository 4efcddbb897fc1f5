/** Takes a certificate file into the archive. */

import { CoreError } from '../../../../src/contract/errors.ts';
import { calibration } from '../../../../src/contract/records.ts';
import { callCore, callShell } from '../../../bridge/calls.ts';

const refused = (message: string, details: readonly string[] = []): CoreError =>
  new CoreError({ code: 'calibration.file', message, userFixable: true, details: [...details] });

/** @returns true when one was kept, null when the person changed their mind. @throws CoreError */
export async function loadCertificate(rigSerial: string | null): Promise<true | null> {
  const file = await callShell('file.open', {
    title: 'Calibration certificate of this rig',
    filters: [{ name: 'Certificate', extensions: ['json'] }],
  });
  if (file === null) return null;
  let raw: unknown;
  try {
    raw = JSON.parse(file.text);
  } catch (error) {
    throw refused(`${file.name} is not a certificate: it is no JSON. Choose the file the laboratory sent.`, [
      String(error),
    ]);
  }
  const parsed = calibration.safeParse(raw);
  if (!parsed.success) {
    throw refused(
      `${file.name} is not a whole certificate. Have it made again, or mend these entries.`,
      parsed.error.issues.map(({ path, message }) => `${path.join('.')}: ${message}`),
    );
  }
  if (parsed.data.rigSerial !== rigSerial) {
    throw refused(`${file.name} is for rig ${parsed.data.rigSerial}, this one is ${rigSerial}. Load the right file.`);
  }
  await callCore('rig.storeCalibration', { calibration: parsed.data });
  return true;
}
