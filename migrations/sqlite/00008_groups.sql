-- +goose Up
CREATE TABLE player_groups (
  club_id    TEXT NOT NULL REFERENCES clubs,
  name       TEXT NOT NULL CHECK (name <> ''),
  created_at TEXT NOT NULL,
  updated_at TEXT NOT NULL,
  PRIMARY KEY (club_id, name)
) STRICT;

CREATE TABLE group_members (
  club_id    TEXT NOT NULL,
  group_name TEXT NOT NULL,
  player_ref TEXT NOT NULL,
  at         TEXT NOT NULL,
  PRIMARY KEY (club_id, group_name, player_ref),
  FOREIGN KEY (club_id, group_name) REFERENCES player_groups,
  FOREIGN KEY (club_id, player_ref) REFERENCES players
) STRICT;
CREATE INDEX group_members_by_player ON group_members (club_id, player_ref);
