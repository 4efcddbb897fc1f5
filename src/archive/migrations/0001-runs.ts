import { appendOnlyTriggers, neverReplacedTrigger } from './append-only.ts';
import type { Migration } from './migration.ts';

/** Laws, calibrations, runs with their readings, verdicts and traces, settings. */
export const migration0001: Migration = {
  version: 1,
  title: 'laws, calibrations, runs, settings',
  sql: `
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

CREATE TABLE runs (
  run_no INTEGER PRIMARY KEY CHECK (run_no > 0) REFERENCES measurements (run_no),
  run_id TEXT NOT NULL UNIQUE CHECK (run_id <> ''),
  serial TEXT NOT NULL CHECK (serial <> ''),
  batch TEXT,
  job TEXT NOT NULL,
  operator TEXT NOT NULL,
  started_at TEXT NOT NULL,
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
  FOREIGN KEY (law_id, law_revision) REFERENCES laws (law_id, revision),
  CONSTRAINT job_word CHECK (job IN ('trim', 'goodsIn', 'retest', 'measure')),
  CONSTRAINT outcome_word CHECK (outcome IN ('completed', 'stopped', 'void')),
  CONSTRAINT verdict_word CHECK (verdict IN ('pass', 'doubt', 'fail', 'void'))
) STRICT;
CREATE INDEX runs_by_serial ON runs (serial);

-- readings and points: n records, little-endian, column after column: float64 (a gap is NaN), int32 (a gap is -1), uint8.
-- readings, 95 bytes each: float64 target_mm, position_um, rig_clock_us, integration_us, wiper_counts, wiper_sd_counts,
-- track_counts, travel_mm, ratio, loss_db; int32 sequence, point_index, conversions; uint8 purpose (0 point, 1 closed,
-- 2 open, 3 totalResistance), direction (0 up, 1 down, 2 still), over_range (0, 1).
-- points, 76 bytes each: float64 travel_mm, law_db, lower_db, upper_db, up_deviation_db, down_deviation_db, deviation_db,
-- uncertainty_db, play_mm; int32 point_index.
-- samples of all traces, one trace after the other, 20 bytes each, column after column: float64 rig_clock_us; uint32
-- counter; int32 position_um, wiper_counts. How many each trace has stands in traces.
-- point_words, checks and traces: one JSON object of columns, {"zone":["pass",...],"reason":[null,...]}.
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
${appendOnlyTriggers('schema_history', 'the history of the database')}
${neverReplacedTrigger('schema_history', 'an entry of the history', 'version = NEW.version')}
${appendOnlyTriggers('laws', 'a law revision')}
${neverReplacedTrigger('laws', 'a law revision', 'law_id = NEW.law_id AND revision = NEW.revision')}
${appendOnlyTriggers('calibrations', 'a calibration')}
${neverReplacedTrigger('calibrations', 'a calibration', 'calibration_id = NEW.calibration_id')}
${appendOnlyTriggers('rig_limits', 'a set of rig limits')}
${neverReplacedTrigger('rig_limits', 'a set of rig limits', 'limits_no = NEW.limits_no OR content = NEW.content')}
${appendOnlyTriggers('runs', 'a recorded run')}
${neverReplacedTrigger('runs', 'a recorded run', 'run_no = NEW.run_no OR run_id = NEW.run_id')}
${appendOnlyTriggers('measurements', 'the measurements of a run')}
${neverReplacedTrigger('measurements', 'the measurements of a run', 'run_no = NEW.run_no')}
`,
};
