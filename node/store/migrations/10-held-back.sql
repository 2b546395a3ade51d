-- What guards held back, in words: one row for each stretch of an evening in which one of them did so again and again.
CREATE TABLE held_back (
  guard TEXT NOT NULL,
  -- Epoch milliseconds: when it began, and when it was seen last.
  since INTEGER NOT NULL,
  until INTEGER NOT NULL,
  what TEXT NOT NULL,
  -- How often it began.
  times INTEGER NOT NULL,
  PRIMARY KEY (since, guard)
) STRICT;
