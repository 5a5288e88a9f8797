-- +goose Up
CREATE TABLE roster (
  club_id      TEXT COLLATE "C" NOT NULL,
  tryout_id    TEXT COLLATE "C" NOT NULL,
  bib          TEXT COLLATE "C" NOT NULL CHECK (bib <> ''),
  player_ref   TEXT COLLATE "C" NOT NULL,
  withdrawn_at TEXT,
  at           TEXT NOT NULL,
  PRIMARY KEY (club_id, tryout_id, bib),
  UNIQUE (club_id, player_ref, tryout_id),
  FOREIGN KEY (club_id, tryout_id) REFERENCES tryouts,
  FOREIGN KEY (club_id, player_ref) REFERENCES players
);

CREATE TABLE grades (
  club_id   TEXT COLLATE "C" NOT NULL,
  tryout_id TEXT COLLATE "C" NOT NULL,
  bib       TEXT COLLATE "C" NOT NULL,
  evaluator TEXT COLLATE "C" NOT NULL,
  item      TEXT COLLATE "C" NOT NULL,
  look      BIGINT NOT NULL CHECK (look > 0),
  grade     TEXT NOT NULL,
  who       TEXT NOT NULL,
  at        TEXT NOT NULL,
  PRIMARY KEY (club_id, tryout_id, bib, evaluator, item, look),
  FOREIGN KEY (club_id, tryout_id, bib) REFERENCES roster
);

CREATE TABLE recusals (
  club_id   TEXT COLLATE "C" NOT NULL,
  tryout_id TEXT COLLATE "C" NOT NULL,
  evaluator TEXT COLLATE "C" NOT NULL,
  bib       TEXT COLLATE "C" NOT NULL,
  why       TEXT NOT NULL,
  who       TEXT NOT NULL,
  at        TEXT NOT NULL,
  PRIMARY KEY (club_id, tryout_id, bib, evaluator),
  FOREIGN KEY (club_id, tryout_id, bib) REFERENCES roster
);

CREATE TABLE decisions (
  club_id   TEXT COLLATE "C" NOT NULL,
  id        TEXT COLLATE "C" NOT NULL,
  tryout_id TEXT COLLATE "C" NOT NULL,
  bib       TEXT COLLATE "C" NOT NULL,
  kind      TEXT NOT NULL CHECK (kind IN ('decision', 'appeal')),
  body      TEXT NOT NULL,
  who       TEXT NOT NULL,
  at        TEXT NOT NULL,
  PRIMARY KEY (club_id, id),
  FOREIGN KEY (club_id, tryout_id, bib) REFERENCES roster
);
CREATE INDEX decisions_by_bib ON decisions (club_id, tryout_id, bib);

CREATE TABLE webhooks (
  club_id    TEXT COLLATE "C" NOT NULL REFERENCES clubs,
  id         TEXT COLLATE "C" NOT NULL,
  url        TEXT NOT NULL,
  secret     TEXT NOT NULL,
  events     TEXT NOT NULL,
  state      TEXT NOT NULL,
  failures   BIGINT NOT NULL,
  created_at TEXT NOT NULL,
  PRIMARY KEY (club_id, id)
);

CREATE TABLE deliveries (
  club_id     TEXT COLLATE "C" NOT NULL,
  id          TEXT COLLATE "C" NOT NULL,
  webhook_id  TEXT COLLATE "C" NOT NULL,
  event       TEXT NOT NULL,
  player_ref  TEXT COLLATE "C",
  body        TEXT NOT NULL,
  state       TEXT NOT NULL,
  attempts    BIGINT NOT NULL,
  http_status BIGINT,
  problem     TEXT NOT NULL,
  at          TEXT NOT NULL,
  done_at     TEXT,
  PRIMARY KEY (club_id, id),
  FOREIGN KEY (club_id, webhook_id) REFERENCES webhooks,
  FOREIGN KEY (club_id, player_ref) REFERENCES players
);
CREATE INDEX deliveries_by_webhook ON deliveries (club_id, webhook_id, id);
CREATE INDEX deliveries_by_player  ON deliveries (club_id, player_ref) WHERE player_ref IS NOT NULL;
