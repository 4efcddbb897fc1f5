/** How this station trims: kept in the archive, checked when read, whole defaults when missing or spoilt. */
import { z } from 'zod';
import type { Archive } from '../archive/archive.ts';
import { defaultRiskLimit } from '../trim/share.ts';

const settings = z.object({
  passLimit: z.number().int().min(1).max(9),
  riskLimit: z.number().positive().max(0.5),
  settleS: z.number().min(0).max(600),
  toolId: z.string().min(1).max(40),
  toolKind: z.enum(['mill', 'abrasive', 'hand']),
});
export type TrimSettings = z.infer<typeof settings>;

const defaults: TrimSettings = {
  passLimit: 3,
  riskLimit: defaultRiskLimit,
  settleS: 10,
  toolId: 'tool-1',
  toolKind: 'mill',
};

const key = 'station.trimming';

export function readTrimSettings(archive: Archive): TrimSettings {
  const parsed = settings.safeParse({ ...defaults, ...(archive.setting(key) as object | undefined) });
  return parsed.success ? parsed.data : defaults;
}

export function writeTrimSettings(archive: Archive, change: Partial<TrimSettings>): TrimSettings {
  const next = settings.parse({ ...readTrimSettings(archive), ...change });
  archive.setSetting(key, next);
  return next;
}
