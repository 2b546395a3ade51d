-- What belongs to this node and to no show, a row a field of the settings. A field that was never set has no row.
CREATE TABLE setting (
  name TEXT PRIMARY KEY,
  -- JSON.
  value TEXT NOT NULL
) STRICT;
