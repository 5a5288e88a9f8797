-- +goose Up
-- Verdicts not yet in the table they are looked up in: one row an assessment in
-- place of one a fault, until there are enough to be moved together.
CREATE TABLE fresh_verdicts (
  club_id       TEXT COLLATE "C" NOT NULL,
  assessment_id TEXT COLLATE "C" NOT NULL,
  on_date       TEXT COLLATE "C" NOT NULL,
  verdicts      TEXT NOT NULL,
  PRIMARY KEY (club_id, assessment_id),
  FOREIGN KEY (club_id, assessment_id) REFERENCES assessments
);

-- The same fence as around the other tables of a club, see 00007.
ALTER TABLE fresh_verdicts ENABLE ROW LEVEL SECURITY;
ALTER TABLE fresh_verdicts FORCE ROW LEVEL SECURITY;
CREATE POLICY own_club ON fresh_verdicts USING (club_id = current_setting('rootcue.club', true));
