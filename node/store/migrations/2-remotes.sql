-- Paired remotes. A revoked one keeps its row, so that the journal's names stay known; its token is worth nothing.
CREATE TABLE remote (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL,
  role TEXT NOT NULL,
  -- SHA-256 of the token, hexadecimal; the token itself is only in the phone.
  token_hash TEXT NOT NULL UNIQUE,
  paired_at INTEGER NOT NULL,
  seen_at INTEGER,
  revoked_at INTEGER
) STRICT;
