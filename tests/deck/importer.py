"""A collection that imports packages as the open format asks of an importer.

Notes are matched on their guid. A known note is updated where the incoming one is newer and of the same note type;
its cards and their scheduling stay. Cards that the package has for new templates, and notes that are new, are added.
Notes that a package lacks are left alone.
"""

import json
import sqlite3
import zipfile
from pathlib import Path

Row = tuple[object, ...]


def _open(path: Path) -> sqlite3.Connection:
    with zipfile.ZipFile(path) as archive:
        data = archive.read("collection.anki2")
    connection = sqlite3.connect(":memory:")
    connection.deserialize(data)
    return connection


class Collection:
    """What a player has on the phone; it begins as the first package that is imported."""

    def __init__(self, first: Path) -> None:
        self.database = _open(first)

    def rows(self, query: str, *values: object) -> list[Row]:
        return self.database.execute(query, values).fetchall()

    def answer(self, card: int, interval: int, stamp: int) -> None:
        """Note a review: the card's schedule moves and the review log grows."""
        self.database.execute(
            "update cards set type = 2, queue = 2, ivl = ?, reps = reps + 1, due = ?, mod = ? where id = ?",
            (interval, interval + 100, stamp, card),
        )
        self.database.execute(
            "insert into revlog values (?, ?, 0, 3, ?, 0, 2500, 4000, 1)", (stamp * 1000 + card % 1000, card, interval)
        )

    def take_in(self, package: Path) -> tuple[int, int]:
        """Import a package.

        Returns:
            How many notes were added and how many updated.
        """
        incoming = _open(package)
        known = {
            guid: (note, model, stamp) for note, guid, model, stamp in self.rows("select id, guid, mid, mod from notes")
        }
        next_id = max(int(str(number)) for (number,) in self.rows("select id from notes union select id from cards"))
        added = updated = 0
        for note, guid, model, stamp, tags, fields in incoming.execute(
            "select id, guid, mid, mod, tags, flds from notes"
        ):
            cards = incoming.execute("select ord, did, due from cards where nid = ?", (note,)).fetchall()
            if guid in known:
                own, own_model, own_stamp = known[guid]
                if model == own_model and stamp > own_stamp:
                    self.database.execute(
                        "update notes set mod = ?, tags = ?, flds = ? where id = ?", (stamp, tags, fields, own)
                    )
                    updated += 1
                have = {ordinal for (ordinal,) in self.rows("select ord from cards where nid = ?", own)}
            else:
                next_id += 1
                own, have, added = next_id, set(), added + 1
                self.database.execute(
                    "insert into notes values (?, ?, ?, ?, -1, ?, ?, '', 0, 0, '')",
                    (own, guid, model, stamp, tags, fields),
                )
            for ordinal, deck, due in cards:
                if ordinal not in have:
                    next_id += 1
                    self.database.execute(
                        "insert into cards values (?, ?, ?, ?, ?, -1, 0, 0, ?, 0, 0, 0, 0, 0, 0, 0, 0, '')",
                        (next_id, own, deck, ordinal, stamp, due),
                    )
        self._take_note_types(incoming)
        incoming.close()
        return added, updated

    def _take_note_types(self, incoming: sqlite3.Connection) -> None:
        own, new = (
            json.loads(base.execute("select models from col").fetchone()[0]) for base in (self.database, incoming)
        )
        self.database.execute("update col set models = ?", (json.dumps({**own, **new}),))
