-- +goose Up
PRAGMA application_id = 1399153005; -- ASCII Seam

-- Times are milliseconds since 1970, UTC.

CREATE TABLE jobs (
  id       TEXT    NOT NULL PRIMARY KEY,
  head     INTEGER NOT NULL,              -- the version that counts
  name     TEXT    NOT NULL,              -- these three repeat the head, for lists
  number   TEXT    NOT NULL,
  customer TEXT    NOT NULL,
  demo     INTEGER NOT NULL,
  created  INTEGER NOT NULL,
  changed  INTEGER NOT NULL,
  deleted  INTEGER
) STRICT;

CREATE TABLE versions (
  job      TEXT    NOT NULL REFERENCES jobs(id),
  n        INTEGER NOT NULL,
  parent   INTEGER,                       -- the version this one was made from
  merges   INTEGER,                       -- the version set aside that this one settles
  aside    INTEGER NOT NULL,              -- 1: made from a version that no longer counted
  saved    INTEGER NOT NULL,
  device   TEXT    NOT NULL,
  note     TEXT    NOT NULL,
  change   TEXT    NOT NULL,              -- names the change, so that sending it twice stores it once
  doc      TEXT    NOT NULL CHECK (json_valid(doc)),
  original BLOB,                          -- the file this version was imported from, byte for byte
  PRIMARY KEY (job, n),
  UNIQUE (job, change)
) STRICT;

-- Few versions are set aside, and every list asks which.
CREATE INDEX versions_aside ON versions (job, n) WHERE aside = 1;

-- +goose StatementBegin
CREATE TRIGGER versions_are_not_changed BEFORE UPDATE ON versions
BEGIN SELECT RAISE(ABORT, 'a version is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER versions_are_not_deleted BEFORE DELETE ON versions
BEGIN SELECT RAISE(ABORT, 'a version is never deleted'); END;
-- +goose StatementEnd

CREATE TABLE ticks (
  job      TEXT    NOT NULL REFERENCES jobs(id),
  id       TEXT    NOT NULL,              -- given by the device, so that sending it twice stores it once
  step     TEXT    NOT NULL,
  done     INTEGER NOT NULL,
  value    TEXT CHECK (value IS NULL OR json_valid(value)),
  version  INTEGER NOT NULL,              -- of the job, that was built from
  at       INTEGER NOT NULL,              -- on the device's clock
  received INTEGER NOT NULL,
  device   TEXT    NOT NULL,
  PRIMARY KEY (job, id)
) STRICT;

CREATE TABLE photos (
  job     TEXT    NOT NULL REFERENCES jobs(id),
  id      TEXT    NOT NULL,
  kind    TEXT    NOT NULL,
  size    INTEGER NOT NULL,
  sha256  TEXT    NOT NULL,
  step    TEXT    NOT NULL,
  caption TEXT    NOT NULL,
  device  TEXT    NOT NULL,
  added   INTEGER NOT NULL,
  deleted INTEGER,
  bytes   BLOB    NOT NULL,
  PRIMARY KEY (job, id),
  UNIQUE (job, sha256)
) STRICT;

CREATE TABLE catalogue (
  name   TEXT    NOT NULL,
  n      INTEGER NOT NULL,
  saved  INTEGER NOT NULL,
  device TEXT    NOT NULL,
  text   TEXT,                            -- NULL: deleted
  PRIMARY KEY (name, n)
) STRICT;

CREATE TABLE settings (
  key   TEXT NOT NULL PRIMARY KEY,
  value TEXT NOT NULL
) STRICT;

CREATE TABLE sessions (
  token   TEXT    NOT NULL PRIMARY KEY,
  data    BLOB    NOT NULL,
  expires INTEGER NOT NULL
) STRICT;
