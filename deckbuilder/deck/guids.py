"""Guids: how an importer knows a note again."""

from deckbuilder.cards.note import Note


def guid_of(note: Note) -> str:
    """Return the id by which an importer knows a note again."""
    from genanki import guid_for  # with it comes all that a package needs, and a list does not

    return str(guid_for(note.id))
