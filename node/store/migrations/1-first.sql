-- One row a show; what it is stands in its revisions.
CREATE TABLE show (
  id TEXT PRIMARY KEY,
  -- The revision that plays when the show is opened.
  current INTEGER NOT NULL
) STRICT;

-- Every revision ever kept; none is changed or removed.
CREATE TABLE revision (
  number INTEGER PRIMARY KEY,
  show_id TEXT NOT NULL,
  document TEXT NOT NULL,
  -- Epoch milliseconds.
  made_at INTEGER NOT NULL,
  -- Who made it and how, in words.
  origin TEXT NOT NULL
) STRICT;
CREATE INDEX revision_by_show ON revision (show_id, number);

-- What plays: one row a command, with the state after it. The newest row is what a restart goes on with.
CREATE TABLE journal (
  number INTEGER PRIMARY KEY,
  at REAL NOT NULL,
  -- Revision of the show that the state belongs to.
  revision INTEGER NOT NULL REFERENCES revision (number),
  who TEXT NOT NULL,
  -- JSON of the command; null where playing was begun or the show changed.
  command TEXT,
  -- JSON of the state of play after it.
  state TEXT NOT NULL
) STRICT;

-- Facts about this node: its E1.31 component identifier, its name.
CREATE TABLE fact (
  name TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT;
