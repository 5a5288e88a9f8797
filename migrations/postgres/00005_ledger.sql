-- +goose Up
-- A count that is NULL is unknown, never zero.
CREATE TABLE throws (
  club_id              TEXT COLLATE "C" NOT NULL,
  id                   TEXT COLLATE "C" NOT NULL,
  player_ref           TEXT COLLATE "C" NOT NULL,
  on_date              TEXT COLLATE "C" NOT NULL CHECK (on_date = to_char(on_date::date, 'YYYY-MM-DD')),
  kind                 TEXT NOT NULL,
  count                BIGINT CHECK (count >= 0),
  count_at_last_batter BIGINT CHECK (count_at_last_batter >= 0),
  game                 TEXT NOT NULL,
  pain                 TEXT NOT NULL,
  note                 TEXT NOT NULL,
  place                TEXT NOT NULL,
  source               TEXT NOT NULL,
  assessment_id        TEXT COLLATE "C",
  supersedes           TEXT,
  superseded_by        TEXT,
  who                  TEXT NOT NULL,
  at                   TEXT NOT NULL,
  PRIMARY KEY (club_id, id),
  FOREIGN KEY (club_id, player_ref) REFERENCES players,
  FOREIGN KEY (club_id, assessment_id) REFERENCES assessments
);
CREATE INDEX throws_by_player     ON throws (club_id, player_ref, on_date, id);
CREATE INDEX throws_by_assessment ON throws (club_id, assessment_id) WHERE assessment_id IS NOT NULL;
