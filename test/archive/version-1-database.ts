/**
 * A database as program version 0.0.9 left it: archive version 1 with two runs. Frozen; kept apart from the migrations
 * on purpose, so that changing a shipped migration is noticed.
 */
export const version1Database = `
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

CREATE TRIGGER runs_never_changed BEFORE UPDATE ON runs BEGIN
  SELECT RAISE(ABORT, 'append-only: a recorded run is never changed; record a new one instead');
END;
CREATE TRIGGER runs_never_deleted BEFORE DELETE ON runs BEGIN
  SELECT RAISE(ABORT, 'append-only: a recorded run is never deleted');
END;

CREATE TRIGGER runs_never_replaced BEFORE INSERT ON runs
WHEN EXISTS (SELECT 1 FROM runs WHERE run_no = NEW.run_no OR run_id = NEW.run_id) BEGIN
  SELECT RAISE(ABORT, 'append-only: a recorded run with this key is stored already and is never replaced');
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

INSERT INTO schema_history VALUES (1, 'laws, calibrations, runs, settings', '2026-03-02T07:00:00.000Z', '0.0.9');
INSERT INTO laws VALUES ('PF-104', 1, '{"id":"PF-104","revision":1,"title":"programme fader"}', '2026-03-02T07:01:00.000Z');
INSERT INTO calibrations VALUES ('cal-VR0001-a', 'VR0001', '2026-03-02T06:00:00Z', 1772431200000,
  '{"gain":1.00002,"id":"cal-VR0001-a","madeAt":"2026-03-02T06:00:00Z","rigSerial":"VR0001"}', '2026-03-02T07:02:00.000Z');
INSERT INTO rig_limits VALUES (1, '{"stepsPerMm":80,"travelMaxUm":110000}');
INSERT INTO settings VALUES ('operators', '["KM","JT"]');

INSERT INTO measurements VALUES (1,
  '{"zone":["pass"],"reason":[null]}',
  '{"name":["closedLoss"],"unit":["dB"],"value":[96.4],"lower":[80],"upper":[null],"uncertainty":[0.4],"zone":["pass"],"reason":[null]}',
  '{"purpose":["closedEnd"],"samplePeriodUs":[1000],"trackCounts":[8380000.5],"samples":[2]}',
  x'0000000000003040000000000000444000000000000000c0000000000000f87f6a183e22a64482bf000000000000f87f6a183e22a64482bf7b14ae47e17aa43f000000000000f87f00000000',
  x'00000000000030400000000000003040000000000068d040000000000068d040000010000000f04100001024f400f041000000000088d340000000000088d34000000000e17af4409a9999999999b93f0000000000000440000000000000f87f0000007098f75f410000007098f75f41a5bdc11726033040000000000000f87fd7828dd44380843f000000000000f87f1edc9db5dbfe4340000000000000f87f000000000100000000000000000000000400000004000000000000010001',
  x'000000000000f03f00000000000004400000000002000000fffffffff6ffffff05000000fbffffff');
INSERT INTO measurements VALUES (2,
  '{"zone":[],"reason":[]}',
  '{"name":[],"unit":[],"value":[],"lower":[],"upper":[],"uncertainty":[],"zone":[],"reason":[]}',
  '{"purpose":[],"samplePeriodUs":[],"trackCounts":[],"samples":[]}',
  x'', x'', x'');
INSERT INTO runs VALUES (1, '6f1c1c1e-0000-4000-8000-000000000001', 'PF104-26-10-00001', 'TFW-2610', 'measure', 'KM',
  '2026-03-02T08:00:00.250Z', '2026-03-02T08:00:18.500Z', 'completed', NULL, 'pass', 'all points inside the band by more than U',
  'PF-104', 1, 'cal-VR0001-a', 'bench-1', 'VR0001', '1.4.2', 1, 1, 1, '0.0.9', 0.8, 102.9, 0, -0.00892);
INSERT INTO runs VALUES (2, '6f1c1c1e-0000-4000-8000-000000000002', 'PF104-26-10-"Ä''00002', NULL, 'retest', 'JT',
  '2026-03-02T08:00:00Z', '2026-03-02T08:00:18Z', 'void', 'line lost', 'void', 'line lost',
  'PF-104', 1, NULL, NULL, NULL, NULL, NULL, NULL, NULL, '0.0.9', NULL, NULL, NULL, NULL);

PRAGMA application_id = 1178682455;
PRAGMA user_version = 1;
`;
