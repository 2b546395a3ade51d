-- `at` is by the wall (epoch milliseconds); this is the same instant by the clock that plays, in which the state counts.
ALTER TABLE journal ADD COLUMN playing_at REAL NOT NULL DEFAULT 0;
UPDATE journal SET playing_at = at;
