"""Cards as the page shows them: both sides as HTML, and what they can be filtered by.

Templates are filled by the rules of the deck format: `{{Field}}` is the HTML of a field as it stands, `{{#Field}}…` to
`{{/Field}}` is there where the field is not empty. `[sound:…]` becomes a button, media lie in a folder of their own.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

import chevron

from deckbuilder.cards.cardtypes import CARD_TYPES
from deckbuilder.cards.facts import AnyKind
from deckbuilder.cards.labels import label_of, source_label
from deckbuilder.cards.levels import LEVELS
from deckbuilder.cards.note import Note
from deckbuilder.deck.fields import fields_of
from deckbuilder.deck.notetypes import model_of
from deckbuilder.deck.writers import MEDIA
from deckbuilder.speech import _, marked, translate
from deckbuilder.theory.colours import colour_label
from deckbuilder.theory.steps import roman_label

AXES = {
    "key": marked("Key"),
    "region": marked("Region"),
    "level": marked("Level or changes"),
    "function": marked("Function"),
    "colour": marked("Colour"),
    "source": marked("Arpeggio from"),
    "fact": marked("Fact"),
    "kind": marked("Kind of card"),
}
"""What cards can be filtered by, and what each is called, a message that is said with `translate`."""

_FIELD = re.compile(r"\{\{(?![#^/{])([^{}]+)\}\}")
_SOUND = re.compile(r'<span role="group" aria-label="([^"]*)">\[sound:([^\]]+)\]</span>')
_PICTURE = re.compile(r'<img( class="follows")? src="')
_BUTTON = (
    rf'<button type="button" class="replay" data-clip="{MEDIA}/\2" aria-label="\1">'
    '<svg viewBox="0 0 24 24" aria-hidden="true"><path d="M8 5.5v13l10.5-6.5z"/></svg></button>'
)


@dataclass(frozen=True, slots=True)
class PreviewCard:
    """One card.

    Args:
        values: its value on every axis, None where the axis does not apply.
        front: HTML of the question.
        back: HTML of the answer.
    """

    values: Mapping[str, str | None]
    front: str
    back: str


def cards_of(notes: Iterable[Note]) -> Iterator[PreviewCard]:
    """Make every card of some notes, in their order.

    Args:
        notes: the facts.
    """
    for note in notes:
        fields = fields_of(note)
        for kind in note.kinds:
            front, back = _templates(note, kind)
            yield PreviewCard(
                values=values_of(note, kind),
                front=_filled(front, fields),
                back=_filled(back, fields),
            )


def values_of(note: Note, kind: AnyKind) -> dict[str, str | None]:
    """Return a card's value on every axis, for people.

    Args:
        note: the fact.
        kind: how the card asks it.
    """
    identity, level = note.identity, LEVELS.get(note.level)
    return {
        "key": note.words.key,
        "region": str(identity.region) if identity.region else _("whole neck"),
        "level": f"{level.number} {translate(level.title)}" if level else note.changes[0],
        "function": roman_label(identity.function) if identity.function else None,
        "colour": colour_label(identity.colour) if identity.colour else None,
        "source": source_label(identity.source) if identity.source else None,
        "fact": label_of(identity.fact),
        "kind": label_of(kind),
    }


def _templates(note: Note, kind: AnyKind) -> tuple[str, str]:
    model = model_of(CARD_TYPES[note.identity.fact])
    (template,) = (template for template in model.templates if template["name"] == kind.value)
    return template["qfmt"], template["afmt"]


def _filled(template: str, fields: Mapping[str, str]) -> str:
    html = str(chevron.render(_FIELD.sub(r"{{{\1}}}", template), dict(fields)))
    return _PICTURE.sub(rf'<img\1 loading="lazy" src="{MEDIA}/', _SOUND.sub(_BUTTON, html)).strip()
