"""Fields: a note's data as the HTML that its cards show.

All text is escaped here, and nowhere else.
"""

from collections.abc import Iterable, Mapping
from functools import lru_cache
from html import escape

from deckbuilder.cards.cardtypes import shown
from deckbuilder.cards.facts import AnyKind, Slot
from deckbuilder.cards.note import Attachment, Note, ToneName
from deckbuilder.cards.words import BAR_LINE, SEPARATOR
from deckbuilder.medium import MediaType, medium

ASKED = "1"
"""What a flag field holds when its kind of card is wanted."""

_GUIDE = ' class="guide"'
_FOLLOWS = ' class="follows"'
"""A picture that the style turns where a card is light."""
_NARROW = 6
"""Characters of chords of which four stand in a row on a phone: `B♭maj7`."""


def ask_field(kind: AnyKind) -> str:
    """Return the name of the flag field that switches a kind of card on."""
    return f"Ask {kind.value}"


def slot_field(slot: Slot) -> str:
    """Return the name of a slot's field."""
    return slot.value.capitalize()


def fields_of(note: Note) -> Mapping[str, str]:
    """Return the HTML of the fields that a note fills, by their names.

    Args:
        note: the fact.
    """
    words = note.words
    return {
        "Prompt": _text(words.prompt),
        "Key": _text(words.key),
        "Where": _text(words.where),
        "Task": _parts(words.task),
        "Answer": _text(words.label),
        "Over": _text(words.over),
        "Tones": _tones(words.tones),
        "Places": _lines(words.places),
        "Missing": _text(words.missing),
        "Why": _kept_together(_text(words.why)),
        "Question": _text(words.question),
        **{slot_field(slot): _medium(attachment) for slot, attachment in shown(note).items()},
        **{ask_field(kind): ASKED for kind in note.kinds},
        "Id": _text(note.id),
    }


@lru_cache(maxsize=1 << 12)  # names of tones and degrees come in every note
def _text(text: str) -> str:
    """Write plain text as HTML; a `[sound:…]` in it, of a tune's name, stays text and is no clip."""
    return escape(text).replace("[", "&#91;")


def _parts(text: str) -> str:
    """Set apart the parts of a task, so that a line breaks between them, and the bars of changes among them."""
    parts = text.split(SEPARATOR)
    return " ".join(_bars(part) if BAR_LINE in part else f"<span>{_text(part)}</span>" for part in parts)


def _bars(changes: str) -> str:
    """Set changes in pairs of bars: no bar goes on in another row, and a row has four, two or one."""
    bars = [bar.split() for bar in changes.split(BAR_LINE)]
    wide = " wide" if max(len(chord) for bar in bars for chord in bar) > _NARROW else ""
    cells = [" ".join(f"<span>{_text(chord)}</span>" for chord in bar) for bar in bars]
    pairs = (" ".join(map(_bar, cells[first : first + 2])) for first in range(0, len(cells), 2))
    return f'<span class="bars{wide}">{" ".join(f"""<span class="pair">{pair}</span>""" for pair in pairs)}</span>'


def _bar(chords: str) -> str:
    """Set a bar; its line is drawn, and stands as text where no style is."""
    return f'<span class="bar"><i aria-hidden="true">|</i> {chords}</span>'


def _kept_together(text: str) -> str:
    """Keep a degree on the line of its tone."""
    return text.replace(" (", "\N{NO-BREAK SPACE}(")


def _medium(attachment: Attachment) -> str:
    name, said = medium(attachment.description).name, _text(attachment.alt)
    match attachment.description.media_type:
        case MediaType.IMAGE:
            follows = _FOLLOWS if attachment.description.follows_page else ""
            return f'<img{follows} src="{name}" alt="{said}">'
        case MediaType.SOUND:
            # An app makes a button of it, whose name is always the same.
            return f'<span role="group" aria-label="{said}">[sound:{name}]</span>'


def _tones(tones: Iterable[ToneName]) -> str:
    listed = "".join(
        f"<li{_GUIDE if tone.is_guide else ''}><b>{_text(tone.name)}</b> <span>{_text(tone.degree)}</span></li>"
        for tone in tones
    )
    return f"<ul>{listed}</ul>" if listed else ""


def _lines(lines: Iterable[str]) -> str:
    return "<br>".join(_text(line) for line in lines)
