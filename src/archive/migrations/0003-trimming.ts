import { appendOnlyTriggers, neverReplacedTrigger } from './append-only.ts';
import type { Migration } from './migration.ts';

/**
 * What happens to a piece that is trimmed, event by event, and what is believed of each tool. The order of the events is
 * watched by the database: after cuts were asked for, nothing can be planned or asked for before a new measurement.
 */
export const migration0003: Migration = {
  version: 3,
  title: 'trimming: events of a piece, beliefs of a tool',
  sql: `
CREATE TABLE trim_events (
  event_no INTEGER PRIMARY KEY CHECK (event_no > 0),
  serial TEXT NOT NULL CHECK (serial <> ''),
  batch TEXT,
  state TEXT NOT NULL,
  pass INTEGER NOT NULL CHECK (pass >= 0),
  run_id TEXT NOT NULL REFERENCES runs (run_id),
  law_id TEXT NOT NULL,
  law_revision INTEGER NOT NULL,
  tool_id TEXT NOT NULL CHECK (tool_id <> ''),
  tool_kind TEXT NOT NULL CHECK (tool_kind <> ''),
  operator TEXT NOT NULL,
  at TEXT NOT NULL,
  at_ms INTEGER NOT NULL,
  content TEXT NOT NULL CHECK (json_valid(content)),
  FOREIGN KEY (law_id, law_revision) REFERENCES laws (law_id, revision),
  CONSTRAINT state_word CHECK (state IN ('measured', 'planned', 'cutsAsked', 'cutsDone', 'accepted', 'ended', 'hopeless'))
) STRICT;
CREATE INDEX trim_events_by_serial ON trim_events (serial, event_no);
CREATE INDEX trim_events_by_batch ON trim_events (batch, event_no) WHERE batch IS NOT NULL;

CREATE TABLE tool_beliefs (
  belief_no INTEGER PRIMARY KEY CHECK (belief_no > 0),
  rig_serial TEXT NOT NULL CHECK (rig_serial <> ''),
  tool_id TEXT NOT NULL CHECK (tool_id <> ''),
  tool_kind TEXT NOT NULL CHECK (tool_kind <> ''),
  track_type TEXT NOT NULL CHECK (track_type <> ''),
  sheet TEXT,
  cause TEXT NOT NULL CONSTRAINT cause_word CHECK (cause IN ('learnt', 'toolRenewed')),
  mean REAL NOT NULL CHECK (mean > 0),
  sd REAL NOT NULL CHECK (sd >= 0),
  cut_sd REAL NOT NULL CHECK (cut_sd >= 0),
  cuts INTEGER NOT NULL CHECK (cuts >= 0),
  run_id TEXT REFERENCES runs (run_id),
  reason TEXT,
  operator TEXT NOT NULL,
  at TEXT NOT NULL,
  at_ms INTEGER NOT NULL,
  CONSTRAINT learnt_from_a_run CHECK ((cause = 'learnt') = (run_id IS NOT NULL))
) STRICT;
CREATE INDEX tool_beliefs_by_tool ON tool_beliefs (rig_serial, tool_id, track_type, belief_no);
${appendOnlyTriggers('tool_beliefs', 'a belief of a tool')}
${neverReplacedTrigger('tool_beliefs', 'a belief of a tool', 'belief_no = NEW.belief_no')}
${appendOnlyTriggers('trim_events', 'an event of a trimmed piece')}
CREATE TRIGGER trim_events_rules BEFORE INSERT ON trim_events BEGIN
  SELECT CASE
    WHEN EXISTS (SELECT 1 FROM trim_events WHERE event_no = NEW.event_no)
      THEN RAISE(ABORT, 'append-only: an event of a trimmed piece with this key is stored already and is never replaced')
    WHEN NOT EXISTS (SELECT 1 FROM runs WHERE run_id = NEW.run_id AND serial = NEW.serial AND job = 'trim'
        AND outcome = 'completed' AND law_id = NEW.law_id AND law_revision = NEW.law_revision)
      THEN RAISE(ABORT, 'rule: an event of trimming rests on a completed trim run of the same piece and law')
    WHEN NEW.state = 'accepted' AND NOT EXISTS (SELECT 1 FROM runs WHERE run_id = NEW.run_id AND verdict = 'pass')
      THEN RAISE(ABORT, 'rule: only a piece that passed is accepted')
    WHEN NEW.state = 'measured' AND EXISTS (SELECT 1 FROM trim_events WHERE serial = NEW.serial AND run_id = NEW.run_id)
      THEN RAISE(ABORT, 'rule: a run is taken as the measurement of a piece once')
    WHEN NEW.state <> 'measured' AND NEW.run_id IS NOT
        (SELECT run_id FROM trim_events WHERE serial = NEW.serial ORDER BY event_no DESC LIMIT 1)
      THEN RAISE(ABORT, 'rule: what follows a measurement names that measurement')
    WHEN instr(
        CASE (SELECT state FROM trim_events WHERE serial = NEW.serial ORDER BY event_no DESC LIMIT 1)
          WHEN 'measured' THEN ' measured planned accepted ended hopeless '
          WHEN 'planned' THEN ' measured cutsAsked ended '
          WHEN 'cutsAsked' THEN ' measured cutsDone ended '
          WHEN 'cutsDone' THEN ' measured cutsDone ended '
          ELSE ' measured '
        END, ' ' || NEW.state || ' ') = 0
      THEN RAISE(ABORT, 'rule: this cannot follow the last event of the piece; cuts are asked for once, then the piece is measured again')
  END;
END;
`,
};
