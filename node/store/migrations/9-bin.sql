-- A show that somebody has put into the bin: since when (epoch milliseconds) and by whom. It is kept there with all its revisions.
ALTER TABLE show ADD COLUMN binned_at INTEGER;
ALTER TABLE show ADD COLUMN binned_by TEXT;
