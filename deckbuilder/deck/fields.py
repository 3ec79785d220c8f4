"""Fields: a note's data as the HTML that its cards show.

All text is escaped here, and nowhere else.
"""

from collections.abc import Iterable, Mapping
from html import escape

from deckbuilder.cards.facts import Kind
from deckbuilder.cards.note import Note
from deckbuilder.cards.words import SEPARATOR
from deckbuilder.deck.media import medium
from deckbuilder.picture.description import NeckPicture

ASKED = "1"
"""What a flag field holds when its kind of card is wanted."""

_GUIDE = ' class="guide"'


def ask_field(kind: Kind) -> str:
    """Return the name of the flag field that switches a kind of card on."""
    return f"Ask {kind.value}"


def fields_of(note: Note) -> Mapping[str, str]:
    """Return every field's HTML by its name.

    Args:
        note: the fact.
    """
    answer = note.answer
    return {
        "Prompt": _text(note.prompt),
        "Key": _text(note.key_label),
        "Where": _text(_where(note)),
        "Task": _parts(note.task),
        "Answer": _text(answer.label),
        "Over": _text(answer.over),
        "Tones": _tones(answer.tones, answer.degrees, answer.guide_tones),
        "Places": _lines(answer.places),
        "Missing": _text(answer.missing),
        "Why": _kept_together(_text(note.why)),
        "Picture": _image(medium(note.picture).name, note.picture_alt),
        "Bare picture": _image(medium(note.bare_picture).name, note.bare_picture_alt) if note.bare_picture else "",
        "Empty neck": _image(medium(note.window).name, _window_alt(note.window)) if note.window else "",
        "Clip": f"[sound:{medium(note.clip).name}]",
        "Question": _text(note.question),
        "Example": f"[sound:{medium(note.example).name}]" if note.example else "",
        **{ask_field(kind): ASKED if kind in note.kinds else "" for kind in Kind},
        "Id": _text(note.id),
    }


def _text(text: str) -> str:
    """Write plain text as HTML; a `[sound:…]` in it, of a tune's name, stays text and is no clip."""
    return escape(text).replace("[", "&#91;")


def _where(note: Note) -> str:
    return f"region {note.subject.region} · {note.position}" if note.position else "whole neck"


def _parts(text: str) -> str:
    """Set apart the parts of a task, so that a line breaks between them."""
    return " ".join(f"<span>{_text(part)}</span>" for part in text.split(SEPARATOR))


def _kept_together(text: str) -> str:
    """Keep a degree on the line of its tone."""
    return text.replace(" (", "\N{NO-BREAK SPACE}(")


def _window_alt(window: NeckPicture) -> str:
    return f"The neck from fret {window.first_fret} to fret {window.last_fret}, nothing marked."


def _image(name: str, alt: str) -> str:
    return f'<img src="{name}" alt="{_text(alt)}">'


def _tones(tones: Iterable[str], degrees: Iterable[str], guides: Iterable[str]) -> str:
    guide_tones = set(guides)
    items = (
        f"<li{_GUIDE if tone in guide_tones else ''}><b>{_text(tone)}</b> <span>{_text(degree)}</span></li>"
        for tone, degree in zip(tones, degrees, strict=True)
    )
    listed = "".join(items)
    return f"<ul>{listed}</ul>" if listed else ""


def _lines(lines: Iterable[str]) -> str:
    return "<br>".join(_text(line) for line in lines)
