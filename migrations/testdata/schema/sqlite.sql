CREATE TABLE active_documents (
  club_id TEXT NOT NULL,
  kind    TEXT NOT NULL,
  name    TEXT NOT NULL,
  version INTEGER NOT NULL,
  PRIMARY KEY (club_id, kind, name),
  FOREIGN KEY (club_id, kind, name, version) REFERENCES documents
) STRICT;
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
CREATE TABLE assessments (
  club_id        TEXT NOT NULL,
  id             TEXT NOT NULL,
  observation_id TEXT NOT NULL,
  player_ref     TEXT NOT NULL,
  session        TEXT NOT NULL,
  on_date        TEXT NOT NULL CHECK (on_date IS date(on_date)),
  rubric         TEXT NOT NULL,
  rubric_version INTEGER NOT NULL,
  status         TEXT NOT NULL CHECK (status IN ('current', 'old')),
  measures       TEXT NOT NULL,
  body           BLOB NOT NULL,
  created_at     TEXT NOT NULL,
  PRIMARY KEY (club_id, id),
  FOREIGN KEY (club_id, observation_id) REFERENCES observations,
  FOREIGN KEY (club_id, player_ref) REFERENCES players
) STRICT;
CREATE INDEX assessments_by_date        ON assessments (club_id, on_date, id);
CREATE INDEX assessments_by_observation ON assessments (club_id, observation_id, on_date, id);
CREATE INDEX assessments_by_player      ON assessments (club_id, player_ref, on_date, id);
CREATE INDEX assessments_by_rubric      ON assessments (club_id, rubric, on_date, id);
CREATE INDEX assessments_by_session     ON assessments (club_id, session, on_date, id) WHERE session <> '';
CREATE UNIQUE INDEX assessments_current ON assessments (club_id, observation_id) WHERE status = 'current';
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
CREATE TRIGGER changes_stay_delete BEFORE DELETE ON changes
BEGIN SELECT RAISE(ABORT, 'the change log is only appended to'); END;
CREATE TRIGGER changes_stay_update BEFORE UPDATE ON changes
BEGIN SELECT RAISE(ABORT, 'the change log is only appended to'); END;
CREATE TABLE clubs (
  id         TEXT PRIMARY KEY,
  name       TEXT NOT NULL UNIQUE CHECK (name <> ''),
  settings   TEXT NOT NULL,
  created_at TEXT NOT NULL,
  log_key    TEXT NOT NULL,
  log_seq    INTEGER NOT NULL,
  log_hash   TEXT NOT NULL
) STRICT;
CREATE TABLE cues (
  club_id       TEXT NOT NULL,
  id            TEXT NOT NULL,
  player_ref    TEXT NOT NULL,
  assessment_id TEXT,
  fault         TEXT NOT NULL,
  drill         TEXT NOT NULL,
  handed_on     TEXT NOT NULL CHECK (handed_on IS date(handed_on)),
  done_on       TEXT CHECK (done_on IS date(done_on)),
  who           TEXT NOT NULL,
  at            TEXT NOT NULL,
  PRIMARY KEY (club_id, id),
  FOREIGN KEY (club_id, player_ref) REFERENCES players,
  FOREIGN KEY (club_id, assessment_id) REFERENCES assessments
) STRICT;
CREATE INDEX cues_by_assessment ON cues (club_id, assessment_id) WHERE assessment_id IS NOT NULL;
CREATE INDEX cues_by_player     ON cues (club_id, player_ref, handed_on, id);
CREATE TABLE decisions (
  club_id   TEXT NOT NULL,
  id        TEXT NOT NULL,
  tryout_id TEXT NOT NULL,
  bib       TEXT NOT NULL,
  kind      TEXT NOT NULL CHECK (kind IN ('decision', 'appeal')),
  body      TEXT NOT NULL,
  who       TEXT NOT NULL,
  at        TEXT NOT NULL,
  PRIMARY KEY (club_id, id),
  FOREIGN KEY (club_id, tryout_id, bib) REFERENCES roster
) STRICT;
CREATE INDEX decisions_by_bib ON decisions (club_id, tryout_id, bib);
CREATE TABLE deliveries (
  club_id     TEXT NOT NULL,
  id          TEXT NOT NULL,
  webhook_id  TEXT NOT NULL,
  event       TEXT NOT NULL,
  player_ref  TEXT,
  body        TEXT NOT NULL,
  state       TEXT NOT NULL,
  attempts    INTEGER NOT NULL,
  http_status INTEGER,
  problem     TEXT NOT NULL,
  at          TEXT NOT NULL,
  done_at     TEXT,
  PRIMARY KEY (club_id, id),
  FOREIGN KEY (club_id, webhook_id) REFERENCES webhooks,
  FOREIGN KEY (club_id, player_ref) REFERENCES players
) STRICT;
CREATE INDEX deliveries_by_player  ON deliveries (club_id, player_ref) WHERE player_ref IS NOT NULL;
CREATE INDEX deliveries_by_webhook ON deliveries (club_id, webhook_id, id);
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
CREATE TRIGGER documents_stay_delete BEFORE DELETE ON documents
BEGIN SELECT RAISE(ABORT, 'a published version never changes'); END;
CREATE TRIGGER documents_stay_update BEFORE UPDATE ON documents
BEGIN SELECT RAISE(ABORT, 'a published version never changes'); END;
CREATE TABLE export_parts (
  club_id   TEXT NOT NULL,
  export_id TEXT NOT NULL,
  part      INTEGER NOT NULL,
  bytes     BLOB NOT NULL,
  PRIMARY KEY (club_id, export_id, part),
  FOREIGN KEY (club_id, export_id) REFERENCES exports ON DELETE CASCADE
) STRICT;
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
CREATE TABLE former_secrets (
  club_id    TEXT NOT NULL,
  webhook_id TEXT NOT NULL,
  secret     TEXT NOT NULL,
  until      TEXT NOT NULL,
  PRIMARY KEY (club_id, webhook_id, secret),
  FOREIGN KEY (club_id, webhook_id) REFERENCES webhooks ON DELETE CASCADE
) STRICT;
CREATE TABLE fresh_verdicts (
  club_id       TEXT NOT NULL,
  assessment_id TEXT NOT NULL,
  on_date       TEXT NOT NULL,
  verdicts      TEXT NOT NULL,
  PRIMARY KEY (club_id, assessment_id),
  FOREIGN KEY (club_id, assessment_id) REFERENCES assessments
) STRICT, WITHOUT ROWID;
CREATE TABLE grades (
  club_id   TEXT NOT NULL,
  tryout_id TEXT NOT NULL,
  bib       TEXT NOT NULL,
  evaluator TEXT NOT NULL,
  item      TEXT NOT NULL,
  look      INTEGER NOT NULL CHECK (look > 0),
  grade     TEXT NOT NULL,
  who       TEXT NOT NULL,
  at        TEXT NOT NULL,
  PRIMARY KEY (club_id, tryout_id, bib, evaluator, item, look),
  FOREIGN KEY (club_id, tryout_id, bib) REFERENCES roster
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
CREATE TABLE links (
  club_id       TEXT NOT NULL,
  id            TEXT NOT NULL,
  hash          TEXT NOT NULL UNIQUE CHECK (length(hash) = 64),
  assessment_id TEXT NOT NULL,
  who           TEXT NOT NULL,
  created_at    TEXT NOT NULL,
  expires       TEXT NOT NULL,
  revoked_at    TEXT,
  PRIMARY KEY (club_id, id),
  FOREIGN KEY (club_id, assessment_id) REFERENCES assessments
) STRICT;
CREATE INDEX links_by_assessment ON links (club_id, assessment_id, id);
CREATE TABLE observations (
  club_id         TEXT NOT NULL,
  id              TEXT NOT NULL,
  player_ref      TEXT NOT NULL,
  rubric          TEXT NOT NULL,
  on_date         TEXT NOT NULL CHECK (on_date IS date(on_date)),
  session         TEXT NOT NULL,
  rater           TEXT NOT NULL,
  tryout_id       TEXT,
  input           BLOB NOT NULL,
  input_hash      TEXT NOT NULL,
  idempotency_key TEXT,
  supersedes      TEXT,
  superseded_by   TEXT,
  received_at     TEXT NOT NULL,
  PRIMARY KEY (club_id, id),
  UNIQUE (club_id, input_hash),
  FOREIGN KEY (club_id, player_ref) REFERENCES players,
  FOREIGN KEY (club_id, tryout_id) REFERENCES tryouts
) STRICT;
CREATE INDEX observations_by_date   ON observations (club_id, on_date, id);
CREATE INDEX observations_by_player ON observations (club_id, player_ref, on_date, id);
CREATE INDEX observations_by_tryout ON observations (club_id, tryout_id, on_date, id) WHERE tryout_id IS NOT NULL;
CREATE TABLE player_groups (
  club_id    TEXT NOT NULL REFERENCES clubs,
  name       TEXT NOT NULL CHECK (name <> ''),
  created_at TEXT NOT NULL,
  updated_at TEXT NOT NULL,
  PRIMARY KEY (club_id, name)
) STRICT;
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
CREATE TABLE recusals (
  club_id   TEXT NOT NULL,
  tryout_id TEXT NOT NULL,
  evaluator TEXT NOT NULL,
  bib       TEXT NOT NULL,
  why       TEXT NOT NULL,
  who       TEXT NOT NULL,
  at        TEXT NOT NULL,
  PRIMARY KEY (club_id, tryout_id, bib, evaluator),
  FOREIGN KEY (club_id, tryout_id, bib) REFERENCES roster
) STRICT;
CREATE TABLE reviews (
  club_id       TEXT NOT NULL,
  assessment_id TEXT NOT NULL,
  revision      INTEGER NOT NULL CHECK (revision > 0),
  body          TEXT NOT NULL,
  released      INTEGER NOT NULL,
  who           TEXT NOT NULL,
  at            TEXT NOT NULL,
  PRIMARY KEY (club_id, assessment_id, revision),
  FOREIGN KEY (club_id, assessment_id) REFERENCES assessments
) STRICT;
CREATE TABLE roster (
  club_id      TEXT NOT NULL,
  tryout_id    TEXT NOT NULL,
  bib          TEXT NOT NULL CHECK (bib <> ''),
  player_ref   TEXT NOT NULL,
  withdrawn_at TEXT,
  at           TEXT NOT NULL,
  PRIMARY KEY (club_id, tryout_id, bib),
  UNIQUE (club_id, player_ref, tryout_id),
  FOREIGN KEY (club_id, tryout_id) REFERENCES tryouts,
  FOREIGN KEY (club_id, player_ref) REFERENCES players
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
CREATE TABLE throws (
  club_id              TEXT NOT NULL,
  id                   TEXT NOT NULL,
  player_ref           TEXT NOT NULL,
  on_date              TEXT NOT NULL CHECK (on_date IS date(on_date)),
  kind                 TEXT NOT NULL,
  count                INTEGER CHECK (count >= 0),
  count_at_last_batter INTEGER CHECK (count_at_last_batter >= 0),
  game                 TEXT NOT NULL,
  pain                 TEXT NOT NULL,
  note                 TEXT NOT NULL,
  place                TEXT NOT NULL,
  source               TEXT NOT NULL,
  assessment_id        TEXT,
  supersedes           TEXT,
  superseded_by        TEXT,
  who                  TEXT NOT NULL,
  at                   TEXT NOT NULL,
  PRIMARY KEY (club_id, id),
  FOREIGN KEY (club_id, player_ref) REFERENCES players,
  FOREIGN KEY (club_id, assessment_id) REFERENCES assessments
) STRICT;
CREATE INDEX throws_by_assessment ON throws (club_id, assessment_id) WHERE assessment_id IS NOT NULL;
CREATE INDEX throws_by_player     ON throws (club_id, player_ref, on_date, id);
CREATE TABLE tryouts (
  club_id    TEXT NOT NULL REFERENCES clubs,
  id         TEXT NOT NULL,
  name       TEXT NOT NULL,
  settings   TEXT NOT NULL,
  state      TEXT NOT NULL CHECK (state IN ('open', 'closed')),
  created_at TEXT NOT NULL,
  PRIMARY KEY (club_id, id)
) STRICT;
CREATE TABLE verdicts (
  club_id       TEXT NOT NULL,
  fault         TEXT NOT NULL,
  verdict       TEXT NOT NULL,
  on_date       TEXT NOT NULL,
  assessment_id TEXT NOT NULL,
  PRIMARY KEY (club_id, fault, verdict, on_date, assessment_id),
  FOREIGN KEY (club_id, assessment_id) REFERENCES assessments
) STRICT, WITHOUT ROWID;
CREATE INDEX verdicts_by_assessment ON verdicts (club_id, assessment_id);
CREATE TABLE webhooks (
  club_id    TEXT NOT NULL REFERENCES clubs,
  id         TEXT NOT NULL,
  url        TEXT NOT NULL,
  secret     TEXT NOT NULL,
  events     TEXT NOT NULL,
  state      TEXT NOT NULL,
  failures   INTEGER NOT NULL,
  created_at TEXT NOT NULL,
  PRIMARY KEY (club_id, id)
) STRICT;
