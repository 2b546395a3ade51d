-- A revision knows the one that it was made from; an edit also what it changed and the way back. The document of an edit is '' where it
-- follows from those before it.
ALTER TABLE revision ADD COLUMN parent INTEGER REFERENCES revision (number);
-- What was done, in words.
ALTER TABLE revision ADD COLUMN what TEXT NOT NULL DEFAULT '';
-- By whom the edit was numbered, so that one that is sent again is made once.
ALTER TABLE revision ADD COLUMN edit_id TEXT;
-- JSON.
ALTER TABLE revision ADD COLUMN changes TEXT;
ALTER TABLE revision ADD COLUMN inverse TEXT;
CREATE UNIQUE INDEX revision_by_edit ON revision (show_id, edit_id) WHERE edit_id IS NOT NULL;

-- Fixture types by what they are, so that a library that has changed since does not change an old show.
CREATE TABLE type_content (
  -- SHA-256 of the JSON, hexadecimal.
  hash TEXT PRIMARY KEY,
  type TEXT NOT NULL
) STRICT;
CREATE TABLE revision_type (
  revision INTEGER NOT NULL REFERENCES revision (number),
  id TEXT NOT NULL,
  hash TEXT NOT NULL REFERENCES type_content (hash),
  PRIMARY KEY (revision, id)
) STRICT;
