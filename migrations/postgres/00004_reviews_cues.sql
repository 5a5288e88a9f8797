-- +goose Up
CREATE TABLE reviews (
  club_id       TEXT COLLATE "C" NOT NULL,
  assessment_id TEXT COLLATE "C" NOT NULL,
  revision      BIGINT NOT NULL CHECK (revision > 0),
  body          TEXT NOT NULL,
  released      BOOLEAN NOT NULL,
  who           TEXT NOT NULL,
  at            TEXT NOT NULL,
  PRIMARY KEY (club_id, assessment_id, revision),
  FOREIGN KEY (club_id, assessment_id) REFERENCES assessments
);

CREATE TABLE cues (
  club_id       TEXT COLLATE "C" NOT NULL,
  id            TEXT COLLATE "C" NOT NULL,
  player_ref    TEXT COLLATE "C" NOT NULL,
  assessment_id TEXT COLLATE "C",
  fault         TEXT COLLATE "C" NOT NULL,
  drill         TEXT NOT NULL,
  handed_on     TEXT NOT NULL CHECK (handed_on = to_char(handed_on::date, 'YYYY-MM-DD')),
  done_on       TEXT CHECK (done_on = to_char(done_on::date, 'YYYY-MM-DD')),
  who           TEXT NOT NULL,
  at            TEXT NOT NULL,
  PRIMARY KEY (club_id, id),
  FOREIGN KEY (club_id, player_ref) REFERENCES players,
  FOREIGN KEY (club_id, assessment_id) REFERENCES assessments
);
CREATE INDEX cues_by_player     ON cues (club_id, player_ref, handed_on, id);
CREATE INDEX cues_by_assessment ON cues (club_id, assessment_id) WHERE assessment_id IS NOT NULL;

CREATE TABLE links (
  club_id       TEXT COLLATE "C" NOT NULL,
  id            TEXT COLLATE "C" NOT NULL,
  hash          TEXT NOT NULL UNIQUE CHECK (length(hash) = 64),
  assessment_id TEXT COLLATE "C" NOT NULL,
  who           TEXT NOT NULL,
  created_at    TEXT NOT NULL,
  expires       TEXT NOT NULL,
  revoked_at    TEXT,
  PRIMARY KEY (club_id, id),
  FOREIGN KEY (club_id, assessment_id) REFERENCES assessments
);
CREATE INDEX links_by_assessment ON links (club_id, assessment_id, id);
