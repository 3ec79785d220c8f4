"""The notes that two checkouts share, built by one of them: what `bench_build --before` measures.

Run with the checkout's program on the path, so it uses only what every checkout has: `ids` prints the ids of the
default deck's notes, `build IDS FOLDER` builds those whose ids a file lists, in a store of its own, and `build … same`
without the media that came later. It prints how many notes and media there are, and the bytes of the deck.
"""

import json
import sys
from dataclasses import replace
from inspect import signature
from pathlib import Path
from typing import Any

from deckbuilder.build import media_of, notes_of
from deckbuilder.deck.package import write_package
from deckbuilder.deck.store import Store
from deckbuilder.recipe import parse_recipe
from deckbuilder.rendering import render_all
from deckbuilder.workers import processes

LATER = ("slow clip", "notation")
"""Slots of media that came after what is compared."""


def main(command: str, *arguments: str) -> None:
    """Print ids, or build."""
    notes = notes_of(parse_recipe({}, "bench"))
    if command == "ids":
        print(json.dumps([_id(note) for note in notes]))
        return
    listed, folder, same = Path(arguments[0]), Path(arguments[1]), "same" in arguments
    wanted = set(json.loads(listed.read_text()))
    chosen = [_as_before(note) if same else note for note in notes if _id(note) in wanted]
    told = [print] if len(signature(processes).parameters) > 1 else []
    with processes(None, *told) as executor:
        media = render_all(Store(folder / "store"), media_of(chosen), executor, lambda _done, _total: None)
        write_package(folder / "deck.apkg", "Shared", chosen, media, 1.7e9)
    print(len(chosen), len(media), (folder / "deck.apkg").stat().st_size)


def _id(note: Any) -> str:
    """Return a note's id, by whatever name a checkout has it."""
    return str(note.id if hasattr(note, "id") else note.identity.id)


def _as_before(note: Any) -> Any:
    """Leave out what came later."""
    if not hasattr(note, "media"):
        return note
    return replace(note, media={slot: shown for slot, shown in note.media.items() if slot.value not in LATER})


if __name__ == "__main__":
    main(*sys.argv[1:])
