/** What the archive is told of a tool besides what its cuts teach. */
import type { Archive } from '../archive/archive.ts';
import { priorBelief, type ToolKind } from '../trim/belief.ts';

export interface ToolRenewal {
  readonly toolId: string;
  readonly toolKind: ToolKind;
  readonly operator: string;
  readonly reason: string;
}

/** A new tool, blade or setting under a known name: caution again on every type of track of this rig. */
export function renewTool(archive: Archive, rigSerial: string, renewal: ToolRenewal, at: string): void {
  const prior = priorBelief(renewal.toolKind);
  for (const trackType of new Set(archive.lawRevisions().map(({ id }) => id))) {
    // Of a tool that was never used there is nothing to forget.
    if (archive.toolBeliefs(rigSerial, renewal.toolId, trackType).length === 0) continue;
    archive.recordTrim([], {
      ...{ ...renewal, ...prior, rigSerial, trackType, at },
      ...{ sheet: null, cause: 'toolRenewed', runId: null },
    });
  }
}
