"""Tasks: what a player keeps to in an improvisation, and what that asks of its example line.

What to keep to rotates by a fixed rule, so that neighbouring regions, keys and levels differ. An example line keeps its
task or there is none.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from deckbuilder.cards.passage import Passage
from deckbuilder.neck.linenotes import BAR, BEAT, Phrase
from deckbuilder.neck.regions import Region
from deckbuilder.theory.arpeggios import Source, arpeggios
from deckbuilder.theory.functions import Harmony

PitchClasses = frozenset[int]

_FOURTH = 5  # semitones, modulo 12 its own inverse
_PLAYED, _PHRASE = 2 * BAR, 4 * BAR


def _without_rest(passage: Passage) -> tuple[Phrase, ...]:
    return (Phrase(0, passage.eighths),)


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to keep to.

    Args:
        text: what the card says.
        allowed: the only pitch classes to play over a chord; None for its whole scale.
        landing: the pitch classes of which the first note over a chord is one; None for any.
        phrases: when to play over a passage.
        held: whether a chord has one note, held until the next chord, which takes the nearest to it.
    """

    text: str
    allowed: Callable[[Harmony], PitchClasses] | None = None
    landing: Callable[[Harmony], PitchClasses] | None = None
    phrases: Callable[[Passage], tuple[Phrase, ...]] = _without_rest
    held: bool = False


def task_for(passage: Passage, region: Region, tonic: int) -> Task:
    """Return what to keep to: one further from region to region, two from key to key in fourths, three a passage.

    Args:
        passage: the changes.
        region: the hand position.
        tonic: the key's pitch class.
    """
    in_fourths = tonic * _FOURTH % 12
    place = region.number + 2 * in_fourths + 3 * passage.number
    chosen = TASKS[place % len(TASKS)]
    if chosen is _ON_THE_DOMINANT and not any(_is_dominant_of_key(chord) for chord in passage.chords):
        return TASKS[(place + 1) % len(TASKS)]
    return chosen


def _guide_tones(chord: Harmony) -> PitchClasses:
    return frozenset(tone.pitch_class for tone in chord.chord.guide_tones)


def _third(chord: Harmony) -> PitchClasses:
    return frozenset({chord.chord.guide_tones[0].pitch_class})


def _seventh(chord: Harmony) -> PitchClasses:
    """Return the chord's second guide tone: the seventh, or the sixth of a chord that has it in its place."""
    return frozenset({chord.chord.guide_tones[1].pitch_class})


def _arpeggio_from(source: Source) -> Callable[[Harmony], PitchClasses]:
    """Return the tones of the arpeggio from a source; over a chord that has but one arpeggio, of that one."""

    def tones(chord: Harmony) -> PitchClasses:
        made = {each.source: each.chord.pitch_classes for each in arpeggios(chord)}
        return next((made[each] for each in (source, *Source) if each in made), frozenset())

    return tones


def _two_bars_of_four(passage: Passage) -> tuple[Phrase, ...]:
    whole = passage.eighths
    return tuple(Phrase(begin, min(begin + _PLAYED, whole)) for begin in range(0, whole, _PHRASE))


def _from_each_dominant(passage: Passage) -> tuple[Phrase, ...]:
    """Return phrases from each V until half a bar before the next, or a beat where it comes within two bars."""
    begins, at, before = [], 0, None
    for chord, beats in passage.spans:
        if _is_dominant_of_key(chord) and not (before and _is_dominant_of_key(before)):
            begins.append(at)
        at, before = at + beats * BEAT, chord
    rests = [2 * BEAT if following - begin >= 2 * BAR else BEAT for begin, following in pairwise(begins)]
    ends = [following - rest for following, rest in zip(begins[1:], rests, strict=True)]
    return tuple(Phrase(begin, end) for begin, end in zip(begins, [*ends, at], strict=True))


def _is_dominant_of_key(chord: Harmony) -> bool:
    return chord.function.name == "V"


_ON_THE_DOMINANT = Task("Start every phrase on V.", phrases=_from_each_dominant)

TASKS = (
    Task("Land on the 3rd of each chord, on beat one.", landing=_third),
    Task("Only arpeggios from the third.", allowed=_arpeggio_from(Source.THIRD)),
    _ON_THE_DOMINANT,
    Task("Land on the 7th of each chord, on beat one.", landing=_seventh),
    Task("Only guide tones: hold, or move to the nearest.", allowed=_guide_tones, held=True),
    Task("Only arpeggios from the root.", allowed=_arpeggio_from(Source.ROOT)),
    Task("Play two bars, leave two bars empty.", phrases=_two_bars_of_four),
)
"""What to keep to. Their number is prime and larger than any step between neighbours, so neighbours never agree."""
