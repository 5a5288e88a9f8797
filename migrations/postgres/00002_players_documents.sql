-- +goose Up
CREATE TABLE players (
  club_id       TEXT COLLATE "C" NOT NULL REFERENCES clubs,
  id            TEXT COLLATE "C" NOT NULL,
  ref           TEXT COLLATE "C" NOT NULL CHECK (ref <> ''),
  born          TEXT CHECK (born || '-01' = to_char((born || '-01')::date, 'YYYY-MM-DD')),
  age           BIGINT CHECK (age >= 0),
  age_on        TEXT CHECK (age_on = to_char(age_on::date, 'YYYY-MM-DD')),
  throws        TEXT CHECK (throws IN ('left', 'right')),
  stature_cm    DOUBLE PRECISION CHECK (stature_cm > 0),
  stature_on    TEXT CHECK (stature_on = to_char(stature_on::date, 'YYYY-MM-DD')),
  groups        TEXT NOT NULL,
  consent_on    TEXT CHECK (consent_on = to_char(consent_on::date, 'YYYY-MM-DD')),
  consent_scope TEXT NOT NULL,
  legal_hold    BOOLEAN NOT NULL,
  hold_why      TEXT NOT NULL,
  created_at    TEXT NOT NULL,
  updated_at    TEXT NOT NULL,
  PRIMARY KEY (club_id, ref),
  UNIQUE (club_id, id)
);

-- Versions of rubrics and workload policies; a version never changes.
CREATE TABLE documents (
  club_id        TEXT COLLATE "C" NOT NULL REFERENCES clubs,
  kind           TEXT NOT NULL CHECK (kind IN ('rubric', 'policy')),
  name           TEXT COLLATE "C" NOT NULL CHECK (name <> ''),
  version        BIGINT NOT NULL CHECK (version > 0),
  source         TEXT COMPRESSION lz4 NOT NULL,
  sha256         TEXT NOT NULL CHECK (length(sha256) = 64),
  who            TEXT NOT NULL,
  why            TEXT NOT NULL,
  at             TEXT NOT NULL,
  effective_from TEXT NOT NULL CHECK (effective_from = to_char(effective_from::date, 'YYYY-MM-DD')),
  PRIMARY KEY (club_id, kind, name, version)
);

CREATE TABLE active_documents (
  club_id TEXT COLLATE "C" NOT NULL,
  kind    TEXT NOT NULL,
  name    TEXT COLLATE "C" NOT NULL,
  version BIGINT NOT NULL,
  PRIMARY KEY (club_id, kind, name),
  FOREIGN KEY (club_id, kind, name, version) REFERENCES documents
);
