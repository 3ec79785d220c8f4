"""One of everything that a package can add: what to begin with for an extension of one's own."""

from deckbuilder.cards.levels import Lesson, Level
from deckbuilder.cards.tasks import Task
from deckbuilder.extensions import Extension
from deckbuilder.neck.tunings import KnownTuning
from deckbuilder.theory.colours import Colour
from deckbuilder.theory.functions import Harmony
from deckbuilder_sample.drawing import Ladder
from deckbuilder_sample.humming import Hum
from deckbuilder_sample.roots import ROOTS

OPEN_A = KnownTuning("open-a", "E2 A2 E3 A3 C#4 E4", description="guitar, open strings an A major chord")

DARK = Colour(
    name="dark",
    label="dark",
    scale_name="dark",
    suffix="7b9#11",
    parent="",
    tonic="",
    gives="b9 and #11 above a bright 13",
    spelling=("P1", "m2", "M3", "A4", "P5", "M6", "m7"),
)

_II, _V, _I = Lesson("ii"), Lesson("V", "dark"), Lesson("I")
DARK_CADENCE = Level(
    40,
    "The dark cadence",
    (_V,),
    "dark-cadence",
    (_II, _V, _I),
    ((_II, _V), (_V, _I)),
    targets=("b9", "3"),
)


def _root_and_fifth(chord: Harmony) -> frozenset[int]:
    tones = chord.chord.tones
    return frozenset({tones[0].pitch_class, tones[2].pitch_class})


ONLY_FIFTHS = Task("Only roots and fifths.", allowed=_root_and_fifth)

EXTENSION = Extension(
    tunings=(OPEN_A,),
    colours=(DARK,),
    levels=(DARK_CADENCE,),
    tasks=(ONLY_FIFTHS,),
    card_types=(ROOTS,),
    media=(Ladder, Hum),
    writers={"prompts": "deckbuilder_sample.prompts:PROMPTS"},
)
