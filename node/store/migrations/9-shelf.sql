-- A show that somebody has put into the bin: since when (epoch milliseconds) and by whom. It is kept there with all its revisions.
ALTER TABLE show ADD COLUMN binned_at INTEGER;
ALTER TABLE show ADD COLUMN binned_by TEXT;
-- The revision that plays while what was edited since is held back from the lights, and who holds it; null: nothing is.
ALTER TABLE show ADD COLUMN held INTEGER REFERENCES revision (number);
ALTER TABLE show ADD COLUMN held_by TEXT;
