/** The station's own preferences: kept in the archive, checked when read, whole defaults when missing or spoilt. */
import { z } from 'zod';
import type { Archive } from '../archive/archive.ts';

const preferences = z.object({
  operators: z.array(z.string().min(1).max(8)).max(200),
  theme: z.enum(['system', 'light', 'dark']),
  sound: z.boolean(),
  decimalSign: z.enum(['point', 'comma']),
  firstStartDone: z.boolean(),
  lastPort: z.string().nullable(),
  lastLawId: z.string().nullable(),
});
export type Preferences = z.infer<typeof preferences>;

const defaults: Preferences = {
  operators: [],
  theme: 'system',
  sound: false,
  decimalSign: 'point',
  firstStartDone: false,
  lastPort: null,
  lastLawId: null,
};

const key = 'station.preferences';

export function readPreferences(archive: Archive): Preferences {
  const parsed = preferences.safeParse({ ...defaults, ...(archive.setting(key) as object | undefined) });
  return parsed.success ? parsed.data : defaults;
}

export function writePreferences(archive: Archive, change: Partial<Preferences>): Preferences {
  const next = preferences.parse({ ...readPreferences(archive), ...change });
  archive.setSetting(key, next);
  return next;
}
