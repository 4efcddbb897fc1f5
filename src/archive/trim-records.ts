/** What the archive keeps of trimming: plain records, added and never changed. */

export type TrimEventState = 'measured' | 'planned' | 'cutsAsked' | 'cutsDone' | 'accepted' | 'ended' | 'hopeless';

/** One thing that happened to a piece. The archive does not look into `content`. */
export interface TrimEvent {
  readonly serial: string;
  readonly batch: string | null;
  readonly state: TrimEventState;
  /** Cutting passes asked for so far, this one included; 0 = none. */
  readonly pass: number;
  /** The completed measurement on which it rests. */
  readonly runId: string;
  readonly lawId: string;
  readonly lawRevision: number;
  readonly toolId: string;
  readonly toolKind: string;
  readonly operator: string;
  /** ISO 8601 UTC. */
  readonly at: string;
  readonly content: unknown;
}

/** What was believed of a tool from this moment on, on one rig and one type of track. */
export interface ToolBeliefRecord {
  readonly rigSerial: string;
  readonly toolId: string;
  readonly toolKind: string;
  readonly trackType: string;
  /** The sheet or batch of the film it was learnt on; null = none. */
  readonly sheet: string | null;
  readonly cause: 'learnt' | 'toolRenewed';
  /** Achieved over predicted added resistance: mean, standard deviation, scatter from cut to cut, cuts it rests on. */
  readonly mean: number;
  readonly sd: number;
  readonly cutSd: number;
  readonly cuts: number;
  /** The re-measurement it was learnt from; null for a renewed tool. */
  readonly runId: string | null;
  readonly reason: string | null;
  readonly operator: string;
  /** ISO 8601 UTC. */
  readonly at: string;
}
