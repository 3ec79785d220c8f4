"""Note types: fields, card templates and style, as the table of card types has them.

Every note type has all its templates, a flag field for each, and spare fields from the first day; a recipe's kinds fill
the flags, so a kind that is switched on later changes no note type. Ids are fixed: an importer knows a type by them.
"""

from functools import cache

import genanki
from jinja2 import ChoiceLoader, Environment, PackageLoader, StrictUndefined

from deckbuilder.cards.asks import TEMPLATES, Ask
from deckbuilder.cards.cardtypes import CardType
from deckbuilder.cards.facts import Slot
from deckbuilder.deck.fields import ask_field, slot_field
from deckbuilder.speech import Speech, _, code, current, translate

_TEXTS = ("Prompt", "Key", "Where", "Task", "Answer", "Over", "Tones", "Places", "Missing", "Why")
_SLOTS = (Slot.PICTURE, Slot.QUESTION_PICTURE, Slot.CLIP)
SPARE = (slot_field(Slot.NOTATION), slot_field(Slot.SLOW_CLIP), "Extra", "Hint", "Spare")
"""Fields that stand ready for what comes later; those whose place on a card is known are in the templates."""

_LOOKS = {
    Slot.PICTURE: "neck",
    Slot.QUESTION_PICTURE: "neck",
    Slot.EMPTY_NECK: "neck",
    Slot.QUESTION_SCORE: "notation",
    Slot.NOTATION: "notation",
    Slot.CLIP: "clip",
    Slot.EXAMPLE: "clip",
    Slot.SLOW_CLIP: "clip",
}
"""What the style knows a slot of the usual question by."""

FIELDS = (*_TEXTS, *map(slot_field, _SLOTS), "Question", slot_field(Slot.EMPTY_NECK))
"""Fields that every note type has, in their order; flags, slots of its own, the id and the spare ones follow."""


def field_names(row: CardType) -> tuple[str, ...]:
    """Return every field of a note type, in its order."""
    flags, own = (ask_field(ask.kind) for ask in row.asks), map(slot_field, row.own_slots)
    return (*FIELDS, *flags, *own, "Id", *SPARE)


def model_of(row: CardType) -> genanki.Model:
    """Return a note type as genanki writes it, its templates in the current language."""
    return _model(row, current())


@cache
def _model(row: CardType, _speech: Speech) -> genanki.Model:
    return genanki.Model(
        row.note_type,
        row.name,
        fields=[{"name": name} for name in field_names(row)],
        templates=[{"name": ask.kind.value, "qfmt": _when_asked(ask), "afmt": _side(ask, "back")} for ask in row.asks],
        css=style(),
    )


@cache
def style() -> str:
    """Return the style sheet that all cards share."""
    return _templates(TEMPLATES).get_template("style.css").render()


def _when_asked(ask: Ask) -> str:
    flag = ask_field(ask.kind)
    return f"{{{{#{flag}}}}}\n{_side(ask, 'front')}{{{{/{flag}}}}}\n"


def _side(ask: Ask, name: str) -> str:
    template = _templates(ask.templates).select_template([f"{ask.kind.value}.{name}.html", f"{name}.html"])
    shown = [(_LOOKS[slot], slot_field(slot)) for slot in ask.front]
    html = template.render(line=translate(ask.line), shown=shown)
    # By their language a screen reader pronounces words, and a browser divides them.
    return f'<div class="{name}" lang="{code()}">\n{html}</div>\n'


@cache
def _templates(package: str) -> Environment:
    """Return a package's templates; the deck format's own marks, `{{Field}}`, pass through to the cards."""
    environment = Environment(  # what is put in is HTML of ours
        loader=ChoiceLoader([PackageLoader(package), PackageLoader(TEMPLATES)]),
        undefined=StrictUndefined,
        keep_trailing_newline=True,
        trim_blocks=True,
        variable_start_string="[[",
        variable_end_string="]]",
        block_start_string="[%",
        block_end_string="%]",
        comment_start_string="[*",
        comment_end_string="*]",
    )
    environment.globals["_"] = _
    return environment
