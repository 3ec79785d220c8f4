"""A card type with a picture, a kind and templates of its own: where a chord's root lies on the lowest string."""

from collections.abc import Iterator

from deckbuilder.cards.asks import Ask
from deckbuilder.cards.cardtypes import CardType
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import AnyFact, AnyKind, Slot
from deckbuilder.cards.music import Music
from deckbuilder.cards.note import Attachment, Note
from deckbuilder.cards.wording import Said
from deckbuilder.theory.functions import Harmony
from deckbuilder_sample.drawing import Ladder
from deckbuilder_sample.humming import Hum


class SampleFact(AnyFact):
    """What the note is about."""

    ROOTS = "roots"


class SampleKind(AnyKind):
    """How it is asked."""

    CLIMB = "climb"


def roots(context: Context, harmony: Harmony) -> Iterator[Note]:
    """Make the note of a chord's roots on the lowest string."""
    neck = context.recipe.instrument.neck
    root = harmony.chord.root
    lowest = neck.tuning.open_midi[0]
    frets = tuple(fret for fret in range(neck.frets + 1) if (lowest + fret - root.pitch_class) % 12 == 0)
    yield context.note(
        context.identity(SampleFact.ROOTS, None, harmony),
        Music(context.key, (harmony,), root.name, None, (root,), ("1",)),
        Said(
            asks=(harmony.label, "roots on the lowest string"),
            task=f"{harmony.label}, roots",
            label=" and ".join(map(str, frets)),
            over=harmony.label,
            why="Twelve frets lie between two roots.",
        ),
        {
            Slot.PICTURE: Attachment(Ladder(neck.frets, frets), f"roots at frets {frets}"),
            Slot.CLIP: Attachment(Hum(lowest + frets[0]), "Play the root"),
        },
    )


ROOTS = CardType(
    SampleFact.ROOTS,
    1_900_000_001,
    "Sample: roots on the lowest string",
    (
        Ask(
            SampleKind.CLIMB,
            (),
            (Slot.PICTURE, Slot.CLIP),
            line="At which frets?",
            title="Climb a string",
            about="You say at which frets a root lies.",
            templates="deckbuilder_sample",
        ),
    ),
    "lowest roots",
    on_chord_anywhere=roots,
)
