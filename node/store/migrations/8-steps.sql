-- Which phone it was (0: the command line; null: a whole document, or of the time before), why, and of which revisions it is the way back.
ALTER TABLE revision ADD COLUMN editor INTEGER;
ALTER TABLE revision ADD COLUMN why TEXT NOT NULL DEFAULT 'edit';
-- JSON list of revision numbers.
ALTER TABLE revision ADD COLUMN undoes TEXT;
-- Edits of one pull, or of one stretch of typing, are one step.
ALTER TABLE revision ADD COLUMN gesture TEXT;
CREATE INDEX revision_by_editor ON revision (show_id, editor, number);
