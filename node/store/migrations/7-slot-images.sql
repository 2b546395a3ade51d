-- Pictures of wheel slots out of the files of fixture types.
CREATE TABLE slot_image (
  -- The file.
  hash TEXT NOT NULL REFERENCES fixture_file (hash),
  -- As the slot calls it.
  name TEXT NOT NULL,
  -- PNG.
  bytes BLOB NOT NULL,
  PRIMARY KEY (hash, name)
) STRICT;
