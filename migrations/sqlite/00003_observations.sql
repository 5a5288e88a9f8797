-- +goose Up
CREATE TABLE tryouts (
  club_id    TEXT NOT NULL REFERENCES clubs,
  id         TEXT NOT NULL,
  name       TEXT NOT NULL,
  settings   TEXT NOT NULL,
  state      TEXT NOT NULL CHECK (state IN ('open', 'closed')),
  created_at TEXT NOT NULL,
  PRIMARY KEY (club_id, id)
) STRICT;

-- A row that refers to a player blocks the player's deletion: an erasure that
-- forgot a table fails instead of leaving something behind.
CREATE TABLE observations (
  club_id         TEXT NOT NULL,
  id              TEXT NOT NULL,
  player_ref      TEXT NOT NULL,
  rubric          TEXT NOT NULL,
  on_date         TEXT NOT NULL CHECK (on_date IS date(on_date)),
  session         TEXT NOT NULL,
  rater           TEXT NOT NULL,
  tryout_id       TEXT,
  input           BLOB NOT NULL,
  input_hash      TEXT NOT NULL,
  idempotency_key TEXT,
  supersedes      TEXT,
  superseded_by   TEXT,
  received_at     TEXT NOT NULL,
  PRIMARY KEY (club_id, id),
  UNIQUE (club_id, input_hash),
  FOREIGN KEY (club_id, player_ref) REFERENCES players,
  FOREIGN KEY (club_id, tryout_id) REFERENCES tryouts
) STRICT;
CREATE INDEX observations_by_date   ON observations (club_id, on_date, id);
CREATE INDEX observations_by_player ON observations (club_id, player_ref, on_date, id);
CREATE INDEX observations_by_tryout ON observations (club_id, tryout_id, on_date, id) WHERE tryout_id IS NOT NULL;

CREATE TABLE assessments (
  club_id        TEXT NOT NULL,
  id             TEXT NOT NULL,
  observation_id TEXT NOT NULL,
  player_ref     TEXT NOT NULL,
  session        TEXT NOT NULL,
  on_date        TEXT NOT NULL CHECK (on_date IS date(on_date)),
  rubric         TEXT NOT NULL,
  rubric_version INTEGER NOT NULL,
  status         TEXT NOT NULL CHECK (status IN ('current', 'old')),
  measures       TEXT NOT NULL,
  body           BLOB NOT NULL,
  created_at     TEXT NOT NULL,
  PRIMARY KEY (club_id, id),
  FOREIGN KEY (club_id, observation_id) REFERENCES observations,
  FOREIGN KEY (club_id, player_ref) REFERENCES players
) STRICT;
CREATE UNIQUE INDEX assessments_current ON assessments (club_id, observation_id) WHERE status = 'current';
CREATE INDEX assessments_by_observation ON assessments (club_id, observation_id, on_date, id);
CREATE INDEX assessments_by_date        ON assessments (club_id, on_date, id);
CREATE INDEX assessments_by_player      ON assessments (club_id, player_ref, on_date, id);
CREATE INDEX assessments_by_rubric      ON assessments (club_id, rubric, on_date, id);
CREATE INDEX assessments_by_session     ON assessments (club_id, session, on_date, id) WHERE session <> '';

-- Of current assessments only, to look them up by.
CREATE TABLE verdicts (
  club_id       TEXT NOT NULL,
  fault         TEXT NOT NULL,
  verdict       TEXT NOT NULL,
  on_date       TEXT NOT NULL,
  assessment_id TEXT NOT NULL,
  PRIMARY KEY (club_id, fault, verdict, on_date, assessment_id),
  FOREIGN KEY (club_id, assessment_id) REFERENCES assessments
) STRICT, WITHOUT ROWID;
CREATE INDEX verdicts_by_assessment ON verdicts (club_id, assessment_id);
