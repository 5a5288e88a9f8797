-- +goose Up
-- What was asked to be taken out, made by a job part by part and kept for a
-- while. It is no data of its own: an erasure takes every export that holds the
-- player, and a backup takes along only what was asked for and is not made yet.
CREATE TABLE exports (
  club_id    TEXT COLLATE "C" NOT NULL REFERENCES clubs,
  id         TEXT COLLATE "C" NOT NULL,
  player_ref TEXT COLLATE "C",
  who        TEXT NOT NULL,
  state      TEXT NOT NULL,
  parts      BIGINT NOT NULL CHECK (parts >= 0),
  at         TEXT NOT NULL,
  expires    TEXT NOT NULL,
  done_at    TEXT,
  PRIMARY KEY (club_id, id),
  FOREIGN KEY (club_id, player_ref) REFERENCES players
);
CREATE INDEX exports_by_player ON exports (club_id, player_ref);

CREATE TABLE export_parts (
  club_id   TEXT COLLATE "C" NOT NULL,
  export_id TEXT COLLATE "C" NOT NULL,
  part      BIGINT NOT NULL,
  bytes     BYTEA NOT NULL,
  PRIMARY KEY (club_id, export_id, part),
  FOREIGN KEY (club_id, export_id) REFERENCES exports ON DELETE CASCADE
);

-- Secrets that a webhook had and that still sign for a while.
CREATE TABLE former_secrets (
  club_id    TEXT COLLATE "C" NOT NULL,
  webhook_id TEXT COLLATE "C" NOT NULL,
  secret     TEXT COLLATE "C" NOT NULL,
  until      TEXT NOT NULL,
  PRIMARY KEY (club_id, webhook_id, secret),
  FOREIGN KEY (club_id, webhook_id) REFERENCES webhooks ON DELETE CASCADE
);

-- The same fence as around the other tables of a club, see 00007.
ALTER TABLE exports ENABLE ROW LEVEL SECURITY;
ALTER TABLE exports FORCE ROW LEVEL SECURITY;
CREATE POLICY own_club ON exports USING (club_id = current_setting('rootcue.club', true));
ALTER TABLE export_parts ENABLE ROW LEVEL SECURITY;
ALTER TABLE export_parts FORCE ROW LEVEL SECURITY;
CREATE POLICY own_club ON export_parts USING (club_id = current_setting('rootcue.club', true));
ALTER TABLE former_secrets ENABLE ROW LEVEL SECURITY;
ALTER TABLE former_secrets FORCE ROW LEVEL SECURITY;
CREATE POLICY own_club ON former_secrets USING (club_id = current_setting('rootcue.club', true));
