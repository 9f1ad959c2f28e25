"""The tables in which cases are kept, and how a file of an earlier version becomes one of this version.

Each version is a script that is run on a file of the version before it; a new file runs them all. Scripts
that were ever used are never edited.
"""

from __future__ import annotations

VERSION_1 = """
CREATE TABLE cases (
    number INTEGER PRIMARY KEY,
    id TEXT NOT NULL UNIQUE,
    date TEXT NOT NULL,
    machine TEXT NOT NULL,
    complaints TEXT NOT NULL,
    given TEXT NOT NULL,
    causes TEXT NOT NULL,
    minutes REAL,
    library TEXT NOT NULL
);
CREATE TABLE seen (
    number INTEGER NOT NULL REFERENCES cases (number) ON DELETE CASCADE,
    place INTEGER NOT NULL,
    check_id TEXT NOT NULL,
    weights TEXT NOT NULL,
    PRIMARY KEY (number, place)
) WITHOUT ROWID;
"""

VERSION_2 = """
ALTER TABLE cases ADD COLUMN confirmed TEXT NOT NULL DEFAULT 'seen';
ALTER TABLE cases ADD COLUMN repair TEXT NOT NULL DEFAULT '';
ALTER TABLE seen ADD COLUMN low REAL;
ALTER TABLE seen ADD COLUMN high REAL;
ALTER TABLE seen ADD COLUMN unit TEXT;
ALTER TABLE seen ADD COLUMN state TEXT;
CREATE INDEX cases_by_date ON cases (date);
"""
"""How a cause was confirmed, the repair that ended the complaint, readings, and the state of each check."""

VERSIONS = (VERSION_1, VERSION_2)
"""The scripts, oldest first; `PRAGMA user_version` of a file says how many of them it has run."""
