-- +goose Up
-- What was asked to be taken out, made by a job part by part and kept for a
-- while. It is no data of its own: an erasure takes every export that holds the
-- player, and a backup takes along only what was asked for and is not made yet.
CREATE TABLE exports (
  club_id    TEXT NOT NULL REFERENCES clubs,
  id         TEXT NOT NULL,
  player_ref TEXT,
  who        TEXT NOT NULL,
  state      TEXT NOT NULL,
  parts      INTEGER NOT NULL CHECK (parts >= 0),
  at         TEXT NOT NULL,
  expires    TEXT NOT NULL,
  done_at    TEXT,
  PRIMARY KEY (club_id, id),
  FOREIGN KEY (club_id, player_ref) REFERENCES players
) STRICT;
CREATE INDEX exports_by_player ON exports (club_id, player_ref);

CREATE TABLE export_parts (
  club_id   TEXT NOT NULL,
  export_id TEXT NOT NULL,
  part      INTEGER NOT NULL,
  bytes     BLOB NOT NULL,
  PRIMARY KEY (club_id, export_id, part),
  FOREIGN KEY (club_id, export_id) REFERENCES exports ON DELETE CASCADE
) STRICT;

-- Secrets that a webhook had and that still sign for a while.
CREATE TABLE former_secrets (
  club_id    TEXT NOT NULL,
  webhook_id TEXT NOT NULL,
  secret     TEXT NOT NULL,
  until      TEXT NOT NULL,
  PRIMARY KEY (club_id, webhook_id, secret),
  FOREIGN KEY (club_id, webhook_id) REFERENCES webhooks ON DELETE CASCADE
) STRICT;
