-- +goose Up
CREATE TABLE clubs (
  id         TEXT PRIMARY KEY,
  name       TEXT NOT NULL UNIQUE CHECK (name <> ''),
  settings   TEXT NOT NULL,
  created_at TEXT NOT NULL,
  log_key    TEXT NOT NULL,
  log_seq    INTEGER NOT NULL,
  log_hash   TEXT NOT NULL
) STRICT;

CREATE TABLE keys (
  club_id    TEXT NOT NULL REFERENCES clubs,
  id         TEXT NOT NULL,
  label      TEXT NOT NULL,
  prefix     TEXT NOT NULL,
  hash       TEXT NOT NULL UNIQUE CHECK (length(hash) = 64),
  role       TEXT NOT NULL CHECK (role IN ('read', 'submit', 'edit', 'admin')),
  created_at TEXT NOT NULL,
  expires    TEXT,
  last_used  TEXT,
  revoked_at TEXT,
  PRIMARY KEY (club_id, id)
) STRICT;

CREATE TABLE sessions (
  club_id    TEXT NOT NULL,
  hash       TEXT NOT NULL UNIQUE CHECK (length(hash) = 64),
  key_id     TEXT NOT NULL,
  csrf       TEXT NOT NULL,
  created_at TEXT NOT NULL,
  expires    TEXT NOT NULL,
  PRIMARY KEY (club_id, hash),
  FOREIGN KEY (club_id, key_id) REFERENCES keys
) STRICT;
CREATE INDEX sessions_by_key ON sessions (club_id, key_id);

-- Each entry's hash covers the one before; see 00007 for what guards it.
CREATE TABLE changes (
  club_id   TEXT NOT NULL REFERENCES clubs,
  seq       INTEGER NOT NULL CHECK (seq > 0),
  at        TEXT NOT NULL,
  who       TEXT NOT NULL,
  what      TEXT NOT NULL,
  entity    TEXT NOT NULL,
  detail    TEXT NOT NULL,
  prev_hash TEXT NOT NULL,
  hash      TEXT NOT NULL,
  PRIMARY KEY (club_id, seq)
) STRICT;
CREATE INDEX changes_by_entity ON changes (club_id, entity, seq);

CREATE TABLE answers (
  club_id      TEXT NOT NULL REFERENCES clubs,
  key          TEXT NOT NULL,
  route        TEXT NOT NULL,
  body_hash    TEXT NOT NULL,
  in_flight    INTEGER NOT NULL,
  status       INTEGER NOT NULL,
  content_type TEXT NOT NULL,
  body         TEXT NOT NULL,
  created_at   TEXT NOT NULL,
  expires      TEXT NOT NULL,
  PRIMARY KEY (club_id, key)
) STRICT;
