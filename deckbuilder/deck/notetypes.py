"""Note types: fields, card templates and style.

Every note type has all its templates and a flag field for each from the first day; a recipe's kinds fill the flags,
so a kind that is switched on later changes no note type. Ids are fixed: an importer knows a type by them.
"""

from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from string import Template

import genanki

from deckbuilder.cards.facts import Fact, Kind
from deckbuilder.deck.fields import ask_field

FIELDS = (
    "Prompt",
    "Key",
    "Where",
    "Task",
    "Answer",
    "Over",
    "Tones",
    "Places",
    "Missing",
    "Why",
    "Picture",
    "Bare picture",
    "Clip",
    "Question",
    "Empty neck",
)
"""Fields that every note type has, in their order; flags and the id follow."""


@dataclass(frozen=True, slots=True)
class NoteType:
    """A note type.

    Args:
        fact: what its notes are about.
        model_id: its fixed id.
        name: what a user sees in the list of note types.
        kinds: its card templates, in their order.
        identify: what `identify` asks.
        own_fields: fields that only this type has.
    """

    fact: Fact
    model_id: int
    name: str
    kinds: tuple[Kind, ...]
    identify: str = ""
    own_fields: tuple[str, ...] = ()

    @property
    def field_names(self) -> tuple[str, ...]:
        """Every field, in its order."""
        return (*FIELDS, *(ask_field(kind) for kind in self.kinds), *self.own_fields, "Id")


NOTE_TYPES: dict[Fact, NoteType] = {
    note_type.fact: note_type
    for note_type in (
        NoteType(
            Fact.SCALE,
            1_406_530_101,
            "Neck: scale in a region",
            (Kind.LOCATE, Kind.IDENTIFY, Kind.HEAR),
            identify="Which scale is this, and over what is it played?",
        ),
        NoteType(
            Fact.ARPEGGIO,
            1_406_530_102,
            "Neck: arpeggio in a region",
            (Kind.LOCATE, Kind.IDENTIFY, Kind.HEAR),
            identify="Which of the loop’s arpeggios is this, and which chord does it serve?",
        ),
        NoteType(Fact.SPELLING, 1_406_530_103, "Neck: spelling of an arpeggio", (Kind.SPELL,)),
        NoteType(Fact.COLOUR, 1_406_530_104, "Ear: colour of a dominant", (Kind.HEAR,)),
        NoteType(Fact.SOURCE, 1_406_530_105, "Ear: where an arpeggio starts", (Kind.HEAR,)),
        NoteType(Fact.TARGET, 1_406_530_106, "Ear: one tone over a chord", (Kind.HEAR,)),
        NoteType(Fact.FUNCTION, 1_406_530_107, "Ear: a chord of the loop", (Kind.HEAR,)),
        NoteType(
            Fact.IMPROVISATION,
            1_406_530_108,
            "Improvisation over a loop",
            (Kind.IMPROVISE,),
            own_fields=("Example",),
        ),
        NoteType(Fact.CONNECTION, 1_406_530_109, "Neck: from chord to chord", (Kind.CONNECT,)),
    )
}


@cache
def model_of(note_type: NoteType) -> genanki.Model:
    """Return a note type as genanki writes it."""
    return genanki.Model(
        note_type.model_id,
        note_type.name,
        fields=[{"name": name} for name in note_type.field_names],
        templates=[
            {
                "name": kind.value,
                "qfmt": _when_asked(kind, _template(note_type, f"{kind.value}.front.html")),
                "afmt": _side("back", _template(note_type, f"{kind.value}.back.html")),
            }
            for kind in note_type.kinds
        ],
        css=_read("style.css"),
    )


def _when_asked(kind: Kind, html: str) -> str:
    flag = ask_field(kind)
    return f"{{{{#{flag}}}}}\n{_side('front', html)}{{{{/{flag}}}}}\n"


def _side(name: str, html: str) -> str:
    return f'<div class="{name}">\n{html}</div>\n'


def _template(note_type: NoteType, name: str) -> str:
    parts = {"head": _read("head.html").strip(), "answer": _read("answer.html").strip()}
    return Template(_read(name)).substitute(parts, identify=note_type.identify)


@cache
def _read(name: str) -> str:
    return (files("deckbuilder.deck") / "templates" / name).read_text(encoding="utf-8")
