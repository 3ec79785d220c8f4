"""The shelf's page: one HTML file that says of each deck what is in it and how to import it."""

from base64 import b64encode
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from deckbuilder.cards.choices import Hand
from deckbuilder.cards.facts import Slot
from deckbuilder.cards.note import Note
from deckbuilder.deck.package import CAUTION
from deckbuilder.pages import environment
from deckbuilder.shelf.parts import Part, Shape
from deckbuilder.speech import translate

INDEX = "index.html"
_LARGE, _SMALL = (Shape.START, Shape.WHOLE), (Shape.LAP, Shape.KEY)


@dataclass(frozen=True, slots=True)
class Offer:
    """A deck that lies on the shelf.

    Args:
        part: which one.
        days: days until nearly every card was seen, at `minutes` a day; None where that takes years.
        files: for each hand the name of its file and its bytes.
    """

    part: Part
    days: int | None
    files: Mapping[Hand, tuple[str, int]]

    @property
    def cards(self) -> int:
        """How many cards it has."""
        return sum(len(note.kinds) for note in self.part.notes)


@dataclass(frozen=True, slots=True)
class _Sample:
    """An answer with its picture, as the page shows it."""

    prompt: str
    answer: str
    source: str
    alt: str
    follows: bool


def sample_note(offers: Sequence[Offer]) -> Note:
    """Return the note whose answer the page shows: an arpeggio in a region if there is one.

    Args:
        offers: one or more.
    """
    notes = [note for note in offers[0].part.notes if Slot.PICTURE in note.media]
    return next((note for note in notes if note.identity.source and note.identity.region), notes[0])


def page(title: str, offers: Sequence[Offer], minutes: float, sample: Note, picture: bytes) -> str:
    """Return the page.

    Args:
        title: name of the whole deck.
        offers: the decks, in their order.
        minutes: a day, to which the days belong.
        sample: the note whose answer is shown.
        picture: its picture, a PNG.
    """
    groups = {shape.value: [offer for offer in offers if offer.part.shape is shape] for shape in Shape}
    return (
        environment("deckbuilder.shelf")
        .get_template(INDEX)
        .render(
            title=title,
            large=[offer for shape in _LARGE for offer in groups[shape]],
            small=[(shape.value, groups[shape]) for shape in _SMALL if groups[shape]],
            minutes=f"{minutes:g}",
            sample=_Sample(
                prompt=sample.words.prompt,
                answer=f"{sample.words.label}: {' '.join(tone.name for tone in sample.words.tones)}",
                source=f"data:image/png;base64,{b64encode(picture).decode()}",
                alt=sample.media[Slot.PICTURE].alt,
                follows=sample.media[Slot.PICTURE].description.follows_page,
            ),
            hands=[hand.value for hand in offers[0].files],
            caution=translate(CAUTION),
        )
    )
