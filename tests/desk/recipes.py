"""Recipes for laws: any choice that a page can make, few keys and regions so that each is quick."""

from collections.abc import Sequence
from typing import TypeVar

from hypothesis import strategies as st

from deckbuilder.cards.choices import Breadth, Breadths, Hand, InstrumentChoice, Labels, Order, Sound, StudyBlock
from deckbuilder.cards.facts import Kind
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.tunes import Tune
from deckbuilder.speech import Language, Names
from deckbuilder.theory.keys import KEY_NAMES
from deckbuilder.theory.newcolours import OwnColour

OWN = OwnColour("my-colour", ("1", "b9", "3", "#11", "5", "13", "b7"))
TUNE = Tune("My blues", "F", bars=("| I7 | IV7 | I7 VI7alt | ii7 V7alt |",))
KEPT = Tune("My tune", "Bb", transpose=False, bars=("| Cm7 | F7 | Bbmaj7 | % |",))


_Value = TypeVar("_Value")


def _some(values: Sequence[_Value], most: int) -> st.SearchStrategy[tuple[_Value, ...]]:
    return st.lists(st.sampled_from(values), min_size=1, max_size=most, unique=True).map(tuple)


@st.composite
def recipes(draw: st.DrawFn) -> Recipe:
    regions = draw(st.integers(4, 6))
    changes = draw(st.sampled_from(((), (TUNE,), (KEPT,), (TUNE, KEPT))))
    levels = draw(_some((1, 2, 3, 4), 3)) if not changes or draw(st.booleans()) else ()
    breadth = {name: draw(st.sampled_from(list(Breadth))) for name in ("locate", "identify", "hear", "connect")}
    return Recipe(
        title=draw(st.sampled_from(("One", "Another"))),
        language=draw(st.sampled_from(list(Language))),
        names=draw(st.sampled_from(list(Names))),
        instrument=InstrumentChoice(
            draw(st.sampled_from(("standard", "dadgad", "bass-4"))),
            capo=draw(st.sampled_from((0, 2))),
            regions=regions,
            hand=draw(st.sampled_from(list(Hand))),
        ),
        keys=draw(_some(KEY_NAMES, 2)),
        regions=tuple(sorted(draw(_some(list(range(1, regions + 1)), 2)))),
        colours=draw(_some(("altered", "plain", "harmonic-minor", OWN), 2)),
        changes=changes,
        levels=tuple(sorted(levels)),
        kinds=(Kind.LOCATE, *draw(_some([kind for kind in Kind if kind is not Kind.LOCATE], 6))),
        breadth=Breadths(**breadth),
        study=draw(
            st.sampled_from(((), (StudyBlock(keys=("F",), levels=(1,)), StudyBlock(levels=(2,), kinds=(Kind.LOCATE,)))))
        ),
        tags=draw(st.sampled_from(((), ("source::third",)))),
        new_limit=draw(st.sampled_from((None, 10))),
        order=draw(st.sampled_from(list(Order))),
        labels=draw(st.sampled_from(list(Labels))),
        sound=Sound(silent=draw(st.booleans())),
    )
