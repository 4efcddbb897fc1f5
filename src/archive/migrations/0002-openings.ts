import { appendOnlyTriggers, neverReplacedTrigger, sealedTrigger } from './append-only.ts';
import type { Migration } from './migration.ts';

/**
 * Runs that were begun but perhaps never finished; runs in time order whatever the spelling of their time; a digest per
 * run; rules that a pass must satisfy. `runs` is rebuilt (SQLite cannot add such rules to a table), its rows are copied whole.
 */
export const migration0002: Migration = {
  version: 2,
  title: 'openings, time order, digests',
  sql: `
DROP TRIGGER measurements_sealed;
DROP TRIGGER traces_sealed;
DROP TRIGGER runs_never_changed;
DROP TRIGGER runs_never_deleted;
DROP TRIGGER runs_never_replaced;
DROP INDEX runs_by_serial;

CREATE TABLE runs_rebuilt (
  run_no INTEGER PRIMARY KEY CHECK (run_no > 0) REFERENCES measurements (run_no),
  run_id TEXT NOT NULL UNIQUE CHECK (run_id <> ''),
  serial TEXT NOT NULL CHECK (serial <> ''),
  batch TEXT,
  job TEXT NOT NULL,
  operator TEXT NOT NULL,
  started_at TEXT NOT NULL,
  started_ms INTEGER NOT NULL,
  ended_at TEXT NOT NULL,
  outcome TEXT NOT NULL,
  outcome_reason TEXT,
  verdict TEXT NOT NULL,
  verdict_reason TEXT NOT NULL,
  law_id TEXT NOT NULL,
  law_revision INTEGER NOT NULL,
  calibration_id TEXT REFERENCES calibrations (calibration_id),
  rig_model TEXT,
  rig_serial TEXT,
  rig_firmware TEXT,
  rig_protocol INTEGER,
  rig_is_virtual INTEGER,
  limits_no INTEGER REFERENCES rig_limits (limits_no),
  program_version TEXT NOT NULL,
  closed_end_mm REAL,
  open_end_mm REAL,
  worst_point_index INTEGER,
  worst_deviation_db REAL,
  digest BLOB CHECK (digest IS NULL OR length(digest) = 32),
  FOREIGN KEY (law_id, law_revision) REFERENCES laws (law_id, revision),
  CONSTRAINT job_word CHECK (job IN ('trim', 'goodsIn', 'retest', 'measure')),
  CONSTRAINT outcome_word CHECK (outcome IN ('completed', 'stopped', 'void')),
  CONSTRAINT verdict_word CHECK (verdict IN ('pass', 'doubt', 'fail', 'void')),
  CONSTRAINT rig_identity_is_whole CHECK (
    (rig_serial IS NULL) = (rig_model IS NULL) AND (rig_serial IS NULL) = (rig_firmware IS NULL)
    AND (rig_serial IS NULL) = (rig_protocol IS NULL) AND (rig_serial IS NULL) = (rig_is_virtual IS NULL)
    AND (rig_is_virtual IS NULL OR rig_is_virtual IN (0, 1)))
) STRICT;

INSERT INTO runs_rebuilt
SELECT run_no, run_id, serial, batch, job, operator, started_at, 
  CAST(round(COALESCE(unixepoch(started_at, 'subsec'), unixepoch(ended_at, 'subsec'), 0) * 1000) AS INTEGER),
  ended_at, outcome, outcome_reason, verdict, verdict_reason, law_id, law_revision, calibration_id,
  rig_model, rig_serial, rig_firmware, rig_protocol, rig_is_virtual, limits_no, program_version,
  closed_end_mm, open_end_mm, worst_point_index, worst_deviation_db, NULL
FROM runs ORDER BY run_no;

DROP TABLE runs;
ALTER TABLE runs_rebuilt RENAME TO runs;

CREATE INDEX runs_by_serial ON runs (serial, started_ms);
CREATE INDEX runs_by_start ON runs (started_ms);
CREATE INDEX runs_by_batch ON runs (batch, started_ms) WHERE batch IS NOT NULL;

CREATE TABLE openings (
  run_id TEXT NOT NULL PRIMARY KEY CHECK (run_id <> ''),
  serial TEXT NOT NULL CHECK (serial <> ''),
  batch TEXT,
  job TEXT NOT NULL CONSTRAINT job_word CHECK (job IN ('trim', 'goodsIn', 'retest', 'measure')),
  operator TEXT NOT NULL,
  started_at TEXT NOT NULL,
  law_id TEXT NOT NULL,
  law_revision INTEGER NOT NULL,
  calibration_id TEXT REFERENCES calibrations (calibration_id),
  rig_serial TEXT,
  program_version TEXT NOT NULL,
  FOREIGN KEY (law_id, law_revision) REFERENCES laws (law_id, revision)
) STRICT, WITHOUT ROWID;
CREATE INDEX openings_by_serial ON openings (serial, law_id);
${appendOnlyTriggers('openings', 'the beginning of a run')}
${neverReplacedTrigger('openings', 'the beginning of a run', 'run_id = NEW.run_id')}
${appendOnlyTriggers('runs', 'a recorded run')}
${neverReplacedTrigger('runs', 'a recorded run', 'run_no = NEW.run_no OR run_id = NEW.run_id')}
CREATE TRIGGER runs_need_a_reason BEFORE INSERT ON runs
WHEN NEW.outcome <> 'completed' AND (NEW.outcome_reason IS NULL OR NEW.outcome_reason = '') BEGIN
  SELECT RAISE(ABORT, 'rule: a run that did not complete needs a reason');
END;
CREATE TRIGGER runs_void_is_void BEFORE INSERT ON runs WHEN NEW.outcome = 'void' AND NEW.verdict <> 'void' BEGIN
  SELECT RAISE(ABORT, 'rule: a void run has no verdict but void');
END;
CREATE TRIGGER runs_pass_was_earned BEFORE INSERT ON runs
WHEN NEW.verdict = 'pass' AND (
  NEW.outcome <> 'completed' OR NEW.calibration_id IS NULL OR NEW.rig_serial IS NULL
  OR EXISTS (SELECT 1 FROM measurements m, json_each(m.points, '$.zone') z WHERE m.run_no = NEW.run_no AND z.value <> 'pass')
  OR EXISTS (SELECT 1 FROM measurements m, json_each(m.checks, '$.zone') z
    WHERE m.run_no = NEW.run_no AND z.value IN ('doubt', 'fail'))) BEGIN
  SELECT RAISE(ABORT, 'rule: pass needs a completed run on a calibrated rig with every point passed');
END;
${sealedTrigger('measurements', 'a measurement')}
${sealedTrigger('traces', 'a trace')}
`,
};
