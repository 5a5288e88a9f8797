-- +goose Up
CREATE TABLE players (
  club_id       TEXT NOT NULL REFERENCES clubs,
  id            TEXT NOT NULL,
  ref           TEXT NOT NULL CHECK (ref <> ''),
  born          TEXT CHECK (born || '-01' IS date(born || '-01')),
  age           INTEGER CHECK (age >= 0),
  age_on        TEXT CHECK (age_on IS date(age_on)),
  throws        TEXT CHECK (throws IN ('left', 'right')),
  stature_cm    REAL CHECK (stature_cm > 0),
  stature_on    TEXT CHECK (stature_on IS date(stature_on)),
  groups        TEXT NOT NULL,
  consent_on    TEXT CHECK (consent_on IS date(consent_on)),
  consent_scope TEXT NOT NULL,
  legal_hold    INTEGER NOT NULL,
  hold_why      TEXT NOT NULL,
  created_at    TEXT NOT NULL,
  updated_at    TEXT NOT NULL,
  PRIMARY KEY (club_id, ref),
  UNIQUE (club_id, id)
) STRICT;

-- Versions of rubrics and workload policies; a version never changes.
CREATE TABLE documents (
  club_id        TEXT NOT NULL REFERENCES clubs,
  kind           TEXT NOT NULL CHECK (kind IN ('rubric', 'policy')),
  name           TEXT NOT NULL CHECK (name <> ''),
  version        INTEGER NOT NULL CHECK (version > 0),
  source         BLOB NOT NULL,
  sha256         TEXT NOT NULL CHECK (length(sha256) = 64),
  who            TEXT NOT NULL,
  why            TEXT NOT NULL,
  at             TEXT NOT NULL,
  effective_from TEXT NOT NULL CHECK (effective_from IS date(effective_from)),
  PRIMARY KEY (club_id, kind, name, version)
) STRICT;

CREATE TABLE active_documents (
  club_id TEXT NOT NULL,
  kind    TEXT NOT NULL,
  name    TEXT NOT NULL,
  version INTEGER NOT NULL,
  PRIMARY KEY (club_id, kind, name),
  FOREIGN KEY (club_id, kind, name, version) REFERENCES documents
) STRICT;
