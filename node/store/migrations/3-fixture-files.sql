-- Files of fixture types as they came, each once.
CREATE TABLE fixture_file (
  -- SHA-256 of the bytes, hexadecimal.
  hash TEXT PRIMARY KEY,
  -- What the file was called where it came from.
  name TEXT NOT NULL,
  bytes BLOB NOT NULL
) STRICT;

-- What was read from them; every import is kept, the newest one of an id counts.
CREATE TABLE fixture_type (
  number INTEGER PRIMARY KEY,
  id TEXT NOT NULL,
  -- Who the type is to its maker: the GUID of a GDTF file; empty where there is none.
  guid TEXT NOT NULL,
  hash TEXT NOT NULL REFERENCES fixture_file (hash),
  -- JSON.
  type TEXT NOT NULL,
  -- Epoch milliseconds.
  made_at INTEGER NOT NULL
) STRICT;
CREATE INDEX fixture_type_by_id ON fixture_type (id, number);
