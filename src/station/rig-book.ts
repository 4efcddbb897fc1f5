/** Which rig stands behind a serial: noted before each run, so that one that is cut off is recorded with its rig all the same. */
import { z } from 'zod';
import type { Archive } from '../archive/archive.ts';
import type { Opening } from '../archive/openings.ts';
import type { RigIdentity } from '../procedure/rig-port.ts';

const identityShape = z.object({
  model: z.string(),
  serial: z.string(),
  firmware: z.string(),
  protocol: z.number().int(),
  isVirtual: z.boolean(),
});
const virtualCalibration = z.object({ source: z.literal('virtual') });

const key = (rigSerial: string): string => `rig.identity.${rigSerial}`;

/** Call before the opening is written; costs a write only when the rig says something new of itself. */
export function noteRig(archive: Archive, identity: RigIdentity): void {
  const { model, serial, firmware, protocol, isVirtual } = identity;
  const now = { model, serial, firmware, protocol, isVirtual };
  const known = identityShape.safeParse(archive.setting(key(serial)));
  const isNew =
    !known.success || Object.entries(now).some(([name, value]) => known.data[name as keyof typeof now] !== value);
  if (isNew) archive.setSetting(key(serial), now);
}

/** The rig of a run that was begun; null = not known. A run under a virtual rig's calibration is always marked virtual. */
export function rigOfOpening(
  archive: Archive,
  { rigSerial, calibrationId }: Pick<Opening, 'rigSerial' | 'calibrationId'>,
): RigIdentity | null {
  if (rigSerial === null) return null;
  const known = identityShape.safeParse(archive.setting(key(rigSerial)));
  if (known.success) return known.data;
  // Begun by a version that noted no rig: its calibration still tells a virtual one. 0 is no protocol any rig speaks.
  const calibration = calibrationId === null ? null : archive.calibration(calibrationId);
  if (!virtualCalibration.safeParse(calibration?.data).success) return null;
  return { model: 'not noted', serial: rigSerial, firmware: 'not noted', protocol: 0, isVirtual: true };
}
