"""The tables of the castings file, as the steps that made them: one a version, the oldest first.

A step that has been released is never changed, since files out there were made by it; what is
new is a step at the end.  ``PRAGMA user_version`` holds how many a file has been through.
Foreign keys are off while steps run and are checked before they count, so that a step may build
a table anew.
"""

from __future__ import annotations

Step = tuple[str, ...]

MIGRATIONS: tuple[Step, ...] = (
    # 1: loads, their castings, what was found on them, and what undoing needs.
    (
        # A number that stands on a card in the shop is never given to another load.
        """
        CREATE TABLE loads (
            id INTEGER PRIMARY KEY AUTOINCREMENT,
            job TEXT NOT NULL CHECK (length(job) > 0),
            number INTEGER NOT NULL CHECK (number >= 1),
            poured_at TEXT NOT NULL,
            poured INTEGER NOT NULL CHECK (poured >= 1),
            note TEXT NOT NULL,
            mixed_g REAL CHECK (mixed_g > 0),
            left_g REAL CHECK (left_g >= 0)
        ) STRICT
        """,
        # air_mm is NULL where the resin had gelled before it was shut: no gap would have done.
        """
        CREATE TABLE castings (
            id INTEGER PRIMARY KEY AUTOINCREMENT,
            load_id INTEGER NOT NULL REFERENCES loads (id) ON DELETE CASCADE,
            number INTEGER NOT NULL CHECK (number >= 1),
            fingerprint TEXT NOT NULL,
            mould_id TEXT NOT NULL,
            gap_mm REAL NOT NULL CHECK (gap_mm > 0),
            open_mm REAL NOT NULL,
            air_mm REAL CHECK (air_mm > 0),
            resin TEXT NOT NULL,
            wood TEXT NOT NULL,
            shop_c REAL NOT NULL,
            pressure_kpa REAL NOT NULL CHECK (pressure_kpa >= 0),
            close_min REAL NOT NULL CHECK (close_min > 0),
            sequence TEXT NOT NULL
                CHECK (sequence IN ('resin-first', 'insert-first', 'bottom-feed')),
            pours INTEGER NOT NULL CHECK (pours >= 1),
            UNIQUE (load_id, number)
        ) STRICT
        """,
        """
        CREATE TABLE results (
            casting_id INTEGER PRIMARY KEY REFERENCES castings (id) ON DELETE CASCADE,
            voids INTEGER NOT NULL CHECK (voids IN (0, 1)),
            worst_mm REAL CHECK (worst_mm > 0),
            place TEXT NOT NULL,
            rework_min REAL NOT NULL CHECK (rework_min >= 0),
            outcome TEXT NOT NULL CHECK (outcome IN ('good', 'repaired', 'scrapped')),
            noted_at TEXT NOT NULL
        ) STRICT
        """,
        """
        CREATE TABLE journal (
            id INTEGER PRIMARY KEY AUTOINCREMENT,
            what TEXT NOT NULL,
            changes TEXT NOT NULL CHECK (json_valid(changes))
        ) STRICT
        """,
    ),
)
