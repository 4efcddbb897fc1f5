/**
 * Tables, indexes and triggers as program version 0.1.0 left them: archive version 2. Frozen; kept apart from the
 * migrations on purpose, so that changing a shipped migration is noticed.
 */
export const version2Schema = `
CREATE TABLE schema_history (
  version INTEGER PRIMARY KEY,
  title TEXT NOT NULL,
  applied_at TEXT NOT NULL,
  program_version TEXT NOT NULL
) STRICT;

CREATE TABLE laws (
  law_id TEXT NOT NULL CHECK (law_id <> ''),
  revision INTEGER NOT NULL CHECK (revision >= 1),
  content TEXT NOT NULL CHECK (json_valid(content)),
  stored_at TEXT NOT NULL,
  PRIMARY KEY (law_id, revision)
) STRICT, WITHOUT ROWID;

CREATE TABLE calibrations (
  calibration_id TEXT NOT NULL PRIMARY KEY CHECK (calibration_id <> ''),
  rig_serial TEXT NOT NULL CHECK (rig_serial <> ''),
  made_at TEXT NOT NULL,
  made_ms INTEGER NOT NULL,
  content TEXT NOT NULL CHECK (json_valid(content)),
  stored_at TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX calibrations_by_rig ON calibrations (rig_serial, made_ms, stored_at);

CREATE TABLE rig_limits (
  limits_no INTEGER PRIMARY KEY CHECK (limits_no > 0),
  content TEXT NOT NULL UNIQUE CHECK (json_valid(content))
) STRICT;

CREATE TABLE measurements (
  run_no INTEGER PRIMARY KEY CHECK (run_no > 0),
  point_words TEXT NOT NULL,
  checks TEXT NOT NULL,
  traces TEXT NOT NULL,
  points BLOB NOT NULL CHECK (length(points) % 76 = 0),
  readings BLOB NOT NULL CHECK (length(readings) % 95 = 0),
  samples BLOB NOT NULL CHECK (length(samples) % 20 = 0)
) STRICT;

CREATE TABLE settings (
  key TEXT NOT NULL PRIMARY KEY,
  value TEXT NOT NULL CHECK (json_valid(value))
) STRICT, WITHOUT ROWID;

CREATE TRIGGER schema_history_never_changed BEFORE UPDATE ON schema_history BEGIN
  SELECT RAISE(ABORT, 'append-only: the history of the database is never changed; record a new one instead');
END;

CREATE TRIGGER schema_history_never_deleted BEFORE DELETE ON schema_history BEGIN
  SELECT RAISE(ABORT, 'append-only: the history of the database is never deleted');
END;

CREATE TRIGGER schema_history_never_replaced BEFORE INSERT ON schema_history
WHEN EXISTS (SELECT 1 FROM schema_history WHERE version = NEW.version) BEGIN
  SELECT RAISE(ABORT, 'append-only: an entry of the history with this key is stored already and is never replaced');
END;

CREATE TRIGGER laws_never_changed BEFORE UPDATE ON laws BEGIN
  SELECT RAISE(ABORT, 'append-only: a law revision is never changed; record a new one instead');
END;

CREATE TRIGGER laws_never_deleted BEFORE DELETE ON laws BEGIN
  SELECT RAISE(ABORT, 'append-only: a law revision is never deleted');
END;

CREATE TRIGGER laws_never_replaced BEFORE INSERT ON laws
WHEN EXISTS (SELECT 1 FROM laws WHERE law_id = NEW.law_id AND revision = NEW.revision) BEGIN
  SELECT RAISE(ABORT, 'append-only: a law revision with this key is stored already and is never replaced');
END;

CREATE TRIGGER calibrations_never_changed BEFORE UPDATE ON calibrations BEGIN
  SELECT RAISE(ABORT, 'append-only: a calibration is never changed; record a new one instead');
END;

CREATE TRIGGER calibrations_never_deleted BEFORE DELETE ON calibrations BEGIN
  SELECT RAISE(ABORT, 'append-only: a calibration is never deleted');
END;

CREATE TRIGGER calibrations_never_replaced BEFORE INSERT ON calibrations
WHEN EXISTS (SELECT 1 FROM calibrations WHERE calibration_id = NEW.calibration_id) BEGIN
  SELECT RAISE(ABORT, 'append-only: a calibration with this key is stored already and is never replaced');
END;

CREATE TRIGGER rig_limits_never_changed BEFORE UPDATE ON rig_limits BEGIN
  SELECT RAISE(ABORT, 'append-only: a set of rig limits is never changed; record a new one instead');
END;

CREATE TRIGGER rig_limits_never_deleted BEFORE DELETE ON rig_limits BEGIN
  SELECT RAISE(ABORT, 'append-only: a set of rig limits is never deleted');
END;

CREATE TRIGGER rig_limits_never_replaced BEFORE INSERT ON rig_limits
WHEN EXISTS (SELECT 1 FROM rig_limits WHERE limits_no = NEW.limits_no OR content = NEW.content) BEGIN
  SELECT RAISE(ABORT, 'append-only: a set of rig limits with this key is stored already and is never replaced');
END;

CREATE TRIGGER measurements_never_changed BEFORE UPDATE ON measurements BEGIN
  SELECT RAISE(ABORT, 'append-only: the measurements of a run is never changed; record a new one instead');
END;

CREATE TRIGGER measurements_never_deleted BEFORE DELETE ON measurements BEGIN
  SELECT RAISE(ABORT, 'append-only: the measurements of a run is never deleted');
END;

CREATE TRIGGER measurements_never_replaced BEFORE INSERT ON measurements
WHEN EXISTS (SELECT 1 FROM measurements WHERE run_no = NEW.run_no) BEGIN
  SELECT RAISE(ABORT, 'append-only: the measurements of a run with this key is stored already and is never replaced');
END;

CREATE TABLE "runs" (
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

CREATE TRIGGER openings_never_changed BEFORE UPDATE ON openings BEGIN
  SELECT RAISE(ABORT, 'append-only: the beginning of a run is never changed; record a new one instead');
END;

CREATE TRIGGER openings_never_deleted BEFORE DELETE ON openings BEGIN
  SELECT RAISE(ABORT, 'append-only: the beginning of a run is never deleted');
END;

CREATE TRIGGER openings_never_replaced BEFORE INSERT ON openings
WHEN EXISTS (SELECT 1 FROM openings WHERE run_id = NEW.run_id) BEGIN
  SELECT RAISE(ABORT, 'append-only: the beginning of a run with this key is stored already and is never replaced');
END;

CREATE TRIGGER runs_never_changed BEFORE UPDATE ON runs BEGIN
  SELECT RAISE(ABORT, 'append-only: a recorded run is never changed; record a new one instead');
END;

CREATE TRIGGER runs_never_deleted BEFORE DELETE ON runs BEGIN
  SELECT RAISE(ABORT, 'append-only: a recorded run is never deleted');
END;

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
`;
