-- +goose Up
-- Verdicts not yet in the table they are looked up in: one row an assessment in
-- place of one a fault, until there are enough to be moved together.
CREATE TABLE fresh_verdicts (
  club_id       TEXT NOT NULL,
  assessment_id TEXT NOT NULL,
  on_date       TEXT NOT NULL,
  verdicts      TEXT NOT NULL,
  PRIMARY KEY (club_id, assessment_id),
  FOREIGN KEY (club_id, assessment_id) REFERENCES assessments
) STRICT, WITHOUT ROWID;
