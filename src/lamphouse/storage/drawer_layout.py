"""The tables of a drawer's file, and what they never let happen."""

APPLICATION = 0x4C414D50
"""Marks the file as a drawer, in its head."""
VERSION = 1

LAYOUT = (
    """CREATE TABLE holding (
        part TEXT PRIMARY KEY NOT NULL CHECK (part <> ''),
        unit TEXT NOT NULL CHECK (unit IN ('pieces', 'm', 'cm2', 'ml')),
        milli INTEGER NOT NULL CHECK (milli >= 0)
    ) STRICT""",
    """CREATE TABLE promise (
        project TEXT NOT NULL CHECK (project <> ''),
        part TEXT NOT NULL REFERENCES holding (part),
        milli INTEGER NOT NULL CHECK (milli > 0),
        PRIMARY KEY (project, part)
    ) STRICT""",
    """CREATE TABLE price (
        part TEXT PRIMARY KEY NOT NULL CHECK (part <> ''),
        pack_milli INTEGER NOT NULL CHECK (pack_milli > 0),
        unit TEXT NOT NULL CHECK (unit IN ('pieces', 'm', 'cm2', 'ml')),
        hundredths INTEGER NOT NULL CHECK (hundredths >= 0),
        currency TEXT NOT NULL CHECK (length(currency) = 3)
    ) STRICT""",
    """CREATE TABLE move (
        number INTEGER PRIMARY KEY AUTOINCREMENT,
        part TEXT NOT NULL,
        milli INTEGER NOT NULL,
        project TEXT NOT NULL,
        note TEXT NOT NULL
    ) STRICT""",
    *(
        f"""CREATE TRIGGER promised_{event} AFTER {event} ON promise
        WHEN (SELECT SUM(milli) FROM promise WHERE part = NEW.part)
            > (SELECT milli FROM holding WHERE part = NEW.part)
        BEGIN SELECT RAISE (ABORT, 'more is promised than is there'); END"""
        for event in ("insert", "update")
    ),
    """CREATE TRIGGER held_update AFTER UPDATE OF milli ON holding
        WHEN NEW.milli < (SELECT COALESCE(SUM(milli), 0) FROM promise WHERE part = NEW.part)
        BEGIN SELECT RAISE (ABORT, 'more is promised than is there'); END""",
    *(
        f"""CREATE TRIGGER move_{event} BEFORE {event} ON move
        BEGIN SELECT RAISE (ABORT, 'moves are only added'); END"""
        for event in ("update", "delete")
    ),
)
