-- +goose Up
CREATE TABLE clubs (
  id         TEXT COLLATE "C" PRIMARY KEY,
  name       TEXT COLLATE "C" NOT NULL UNIQUE CHECK (name <> ''),
  settings   TEXT NOT NULL,
  created_at TEXT NOT NULL,
  log_key    TEXT NOT NULL,
  log_seq    BIGINT NOT NULL,
  log_hash   TEXT NOT NULL
);

CREATE TABLE keys (
  club_id    TEXT COLLATE "C" NOT NULL REFERENCES clubs,
  id         TEXT COLLATE "C" NOT NULL,
  label      TEXT NOT NULL,
  prefix     TEXT NOT NULL,
  hash       TEXT NOT NULL UNIQUE CHECK (length(hash) = 64),
  role       TEXT NOT NULL CHECK (role IN ('read', 'submit', 'edit', 'admin')),
  created_at TEXT NOT NULL,
  expires    TEXT,
  last_used  TEXT,
  revoked_at TEXT,
  PRIMARY KEY (club_id, id)
);

CREATE TABLE sessions (
  club_id    TEXT COLLATE "C" NOT NULL,
  hash       TEXT NOT NULL UNIQUE CHECK (length(hash) = 64),
  key_id     TEXT COLLATE "C" NOT NULL,
  csrf       TEXT NOT NULL,
  created_at TEXT NOT NULL,
  expires    TEXT NOT NULL,
  PRIMARY KEY (club_id, hash),
  FOREIGN KEY (club_id, key_id) REFERENCES keys
);
CREATE INDEX sessions_by_key ON sessions (club_id, key_id);

-- Each entry's hash covers the one before; see 00007 for what guards it.
CREATE TABLE changes (
  club_id   TEXT COLLATE "C" NOT NULL REFERENCES clubs,
  seq       BIGINT NOT NULL CHECK (seq > 0),
  at        TEXT NOT NULL,
  who       TEXT NOT NULL,
  what      TEXT NOT NULL,
  entity    TEXT NOT NULL,
  detail    TEXT NOT NULL,
  prev_hash TEXT NOT NULL,
  hash      TEXT NOT NULL,
  PRIMARY KEY (club_id, seq)
);
CREATE INDEX changes_by_entity ON changes (club_id, entity, seq);

CREATE TABLE answers (
  club_id      TEXT COLLATE "C" NOT NULL REFERENCES clubs,
  key          TEXT NOT NULL,
  route        TEXT NOT NULL,
  body_hash    TEXT NOT NULL,
  in_flight    BOOLEAN NOT NULL,
  status       BIGINT NOT NULL,
  content_type TEXT NOT NULL,
  body         TEXT NOT NULL,
  created_at   TEXT NOT NULL,
  expires      TEXT NOT NULL,
  PRIMARY KEY (club_id, key)
);
