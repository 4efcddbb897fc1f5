import { appendOnlyTriggers, neverReplacedTrigger } from './append-only.ts';
import type { Migration } from './migration.ts';

/**
 * Runs that were begun but perhaps never finished; runs in time order whatever the spelling of their time; a checksum per
 * run; rules that a pass must satisfy. `runs` is rebuilt (SQLite cannot add such rules to a table), its rows are copied whole.
 */
export const migration0002: Migration = {
  version: 2,
  title: 'openings, time order, checksums',
  sql: `
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
  checksum INTEGER CHECK (checksum BETWEEN 0 AND 4294967295),
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
-- One trigger for all: each costs its share of every append.
CREATE TRIGGER runs_rules BEFORE INSERT ON runs BEGIN
  SELECT CASE
    WHEN EXISTS (SELECT 1 FROM runs WHERE run_no = NEW.run_no) OR EXISTS (SELECT 1 FROM runs WHERE run_id = NEW.run_id)
      THEN RAISE(ABORT, 'append-only: a recorded run with this key is stored already and is never replaced')
    WHEN NEW.outcome <> 'completed' AND (NEW.outcome_reason IS NULL OR NEW.outcome_reason = '')
      THEN RAISE(ABORT, 'rule: a run that did not complete needs a reason')
    WHEN NEW.outcome = 'void' AND NEW.verdict <> 'void'
      THEN RAISE(ABORT, 'rule: a void run has no verdict but void')
    WHEN NEW.verdict = 'pass' AND (NEW.outcome <> 'completed' OR NEW.calibration_id IS NULL OR NEW.rig_serial IS NULL)
      THEN RAISE(ABORT, 'rule: pass needs a completed run on a calibrated rig')
    WHEN NEW.verdict = 'pass' AND EXISTS (SELECT 1 FROM measurements WHERE run_no = NEW.run_no AND (
        replace(json_extract(point_words, '$.zone'), '"pass"', '') GLOB '*"*'
        OR json_extract(checks, '$.zone') GLOB '*"doubt"*' OR json_extract(checks, '$.zone') GLOB '*"fail"*'))
      THEN RAISE(ABORT, 'rule: pass needs every point passed and no doubtful or failed check')
  END;
END;
`,
};
