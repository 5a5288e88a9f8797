-- +goose Up
CREATE TABLE tryouts (
  club_id    TEXT COLLATE "C" NOT NULL REFERENCES clubs,
  id         TEXT COLLATE "C" NOT NULL,
  name       TEXT COLLATE "C" NOT NULL,
  settings   TEXT NOT NULL,
  state      TEXT NOT NULL CHECK (state IN ('open', 'closed')),
  created_at TEXT NOT NULL,
  PRIMARY KEY (club_id, id)
);

-- A row that refers to a player blocks the player's deletion: an erasure that
-- forgot a table fails instead of leaving something behind.
CREATE TABLE observations (
  club_id         TEXT COLLATE "C" NOT NULL,
  id              TEXT COLLATE "C" NOT NULL,
  player_ref      TEXT COLLATE "C" NOT NULL,
  rubric          TEXT NOT NULL,
  on_date         TEXT COLLATE "C" NOT NULL CHECK (on_date = to_char(on_date::date, 'YYYY-MM-DD')),
  session         TEXT NOT NULL,
  rater           TEXT NOT NULL,
  tryout_id       TEXT COLLATE "C",
  input           TEXT COMPRESSION lz4 NOT NULL,
  input_hash      TEXT NOT NULL,
  idempotency_key TEXT,
  supersedes      TEXT,
  superseded_by   TEXT,
  received_at     TEXT NOT NULL,
  PRIMARY KEY (club_id, id),
  UNIQUE (club_id, input_hash),
  FOREIGN KEY (club_id, player_ref) REFERENCES players,
  FOREIGN KEY (club_id, tryout_id) REFERENCES tryouts
);
CREATE INDEX observations_by_date   ON observations (club_id, on_date, id);
CREATE INDEX observations_by_player ON observations (club_id, player_ref, on_date, id);
CREATE INDEX observations_by_tryout ON observations (club_id, tryout_id, on_date, id) WHERE tryout_id IS NOT NULL;

CREATE TABLE assessments (
  club_id        TEXT COLLATE "C" NOT NULL,
  id             TEXT COLLATE "C" NOT NULL,
  observation_id TEXT COLLATE "C" NOT NULL,
  player_ref     TEXT COLLATE "C" NOT NULL,
  session        TEXT NOT NULL,
  on_date        TEXT COLLATE "C" NOT NULL CHECK (on_date = to_char(on_date::date, 'YYYY-MM-DD')),
  rubric         TEXT NOT NULL,
  rubric_version BIGINT NOT NULL,
  status         TEXT NOT NULL CHECK (status IN ('current', 'old')),
  measures       TEXT NOT NULL,
  body           TEXT COMPRESSION lz4 NOT NULL,
  created_at     TEXT NOT NULL,
  PRIMARY KEY (club_id, id),
  FOREIGN KEY (club_id, observation_id) REFERENCES observations,
  FOREIGN KEY (club_id, player_ref) REFERENCES players
);
CREATE UNIQUE INDEX assessments_current ON assessments (club_id, observation_id) WHERE status = 'current';
CREATE INDEX assessments_by_observation ON assessments (club_id, observation_id, on_date, id);
CREATE INDEX assessments_by_date        ON assessments (club_id, on_date, id);
CREATE INDEX assessments_by_player      ON assessments (club_id, player_ref, on_date, id);
CREATE INDEX assessments_by_rubric      ON assessments (club_id, rubric, on_date, id);
CREATE INDEX assessments_by_session     ON assessments (club_id, session, on_date, id) WHERE session <> '';

-- Of current assessments only, to look them up by.
CREATE TABLE verdicts (
  club_id       TEXT COLLATE "C" NOT NULL,
  fault         TEXT COLLATE "C" NOT NULL,
  verdict       TEXT COLLATE "C" NOT NULL,
  on_date       TEXT COLLATE "C" NOT NULL,
  assessment_id TEXT COLLATE "C" NOT NULL,
  PRIMARY KEY (club_id, fault, verdict, on_date, assessment_id),
  FOREIGN KEY (club_id, assessment_id) REFERENCES assessments
);
CREATE INDEX verdicts_by_assessment ON verdicts (club_id, assessment_id);
