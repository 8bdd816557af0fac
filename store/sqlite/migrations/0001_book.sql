-- The logs of all devices. An entry is never changed and never deleted.
CREATE TABLE entry (
    ord    INTEGER PRIMARY KEY,              -- order of arrival in this file
    device TEXT    NOT NULL,
    seq    INTEGER NOT NULL CHECK (seq > 0),
    prev   BLOB    NOT NULL CHECK (length(prev) = 32),
    hash   BLOB    NOT NULL CHECK (length(hash) = 32),
    ms     INTEGER NOT NULL,                 -- hybrid logical clock: milliseconds
    n      INTEGER NOT NULL,                 -- and counter
    wall   INTEGER NOT NULL,
    kind   TEXT    NOT NULL,
    job    TEXT    NOT NULL,
    key    TEXT    NOT NULL,
    body   TEXT    NOT NULL,
    UNIQUE (device, seq)
) STRICT;

CREATE INDEX entry_of_job ON entry (job, ms, n, device, seq);
CREATE INDEX entry_of_key ON entry (key);

CREATE TRIGGER entry_is_not_changed BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER entry_is_not_deleted BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry is never deleted'); END;

-- The end of each log, so that a log that lost its end is noticed.
CREATE TABLE head (
    device TEXT    PRIMARY KEY,
    seq    INTEGER NOT NULL,
    hash   BLOB    NOT NULL CHECK (length(hash) = 32),
    ms     INTEGER NOT NULL,
    n      INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- Files under the SHA-256 of their bytes.
CREATE TABLE blob (
    hash BLOB    PRIMARY KEY CHECK (length(hash) = 32),
    size INTEGER NOT NULL,
    data BLOB    NOT NULL
) STRICT;

-- Folded states; they may be thrown away at any time.
CREATE TABLE snapshot (
    name    TEXT    PRIMARY KEY,
    version INTEGER NOT NULL,
    vector  TEXT    NOT NULL,                -- JSON: device to sequence number
    ms      INTEGER NOT NULL,
    n       INTEGER NOT NULL,
    data    BLOB    NOT NULL
) STRICT;
