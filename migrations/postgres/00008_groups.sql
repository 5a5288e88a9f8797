-- +goose Up
CREATE TABLE player_groups (
  club_id    TEXT COLLATE "C" NOT NULL REFERENCES clubs,
  name       TEXT COLLATE "C" NOT NULL CHECK (name <> ''),
  created_at TEXT NOT NULL,
  updated_at TEXT NOT NULL,
  PRIMARY KEY (club_id, name)
);

CREATE TABLE group_members (
  club_id    TEXT COLLATE "C" NOT NULL,
  group_name TEXT COLLATE "C" NOT NULL,
  player_ref TEXT COLLATE "C" NOT NULL,
  at         TEXT NOT NULL,
  PRIMARY KEY (club_id, group_name, player_ref),
  FOREIGN KEY (club_id, group_name) REFERENCES player_groups,
  FOREIGN KEY (club_id, player_ref) REFERENCES players
);
CREATE INDEX group_members_by_player ON group_members (club_id, player_ref);

-- The same fence as around the other tables of a club, see 00007.
ALTER TABLE player_groups ENABLE ROW LEVEL SECURITY;
ALTER TABLE player_groups FORCE ROW LEVEL SECURITY;
CREATE POLICY own_club ON player_groups USING (club_id = current_setting('rootcue.club', true));
ALTER TABLE group_members ENABLE ROW LEVEL SECURITY;
ALTER TABLE group_members FORCE ROW LEVEL SECURITY;
CREATE POLICY own_club ON group_members USING (club_id = current_setting('rootcue.club', true));
