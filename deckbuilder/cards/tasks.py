"""Tasks: what a player keeps to in an improvisation, and what that asks of its example line.

What to keep to is dealt by key, region and passage: neighbours in each of them differ, whatever the number of tasks,
from two on. A task is dealt only where the passage lets it be kept within four bars. An example line keeps its task or
there is none.
"""

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from math import gcd
from operator import itemgetter

from deckbuilder.cards import words
from deckbuilder.cards.passage import Passage
from deckbuilder.lines.grid import Coming, Window
from deckbuilder.neck.regions import Region
from deckbuilder.registry import Registry
from deckbuilder.speech import _, marked, translate
from deckbuilder.theory.arpeggios import Source, arpeggio, arpeggios
from deckbuilder.theory.forms import BEATS
from deckbuilder.theory.functions import Harmony

PitchClasses = frozenset[int]

_FOURTH = 5  # semitones, modulo 12 its own inverse
_KEYS = 12
_FIFTH_BELOW, _SEMITONE_BELOW = 5, 11  # the next root, in semitones above the dominant's
_PLAYED, _PHRASE = 2 * BEATS, 4 * BEATS


def _throughout(passage: Passage) -> tuple[Window, ...]:
    return (Window(0, passage.beats, open_end=True),)


def _is_always_kept(passage: Passage) -> bool:
    return passage.beats > 0


def _is_plain(_passage: Passage) -> str:
    return ""


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to keep to.

    Args:
        text: what the card says over any passage, a message that is said with `translate`.
        allowed: the only pitch classes to play over a chord; None for its scale and chromatic tones.
        landing: the pitch classes of which the first note over a chord is one; None for any.
        coming: how to come to each chord.
        windows: when to play over a passage.
        held: whether a chord has one note, held until the next chord, which takes the nearest to it.
        fits: whether a passage lets it be kept.
        remark: what it means over chords that have no third or seventh, or none of their own in the arpeggio.
    """

    text: str
    allowed: Callable[[Harmony], PitchClasses] | None = None
    landing: Callable[[Harmony], PitchClasses] | None = None
    coming: Coming = Coming.FREE
    windows: Callable[[Passage], tuple[Window, ...]] = _throughout
    held: bool = False
    fits: Callable[[Passage], bool] = _is_always_kept
    remark: Callable[[Passage], str] = _is_plain

    def said(self, passage: Passage) -> str:
        """Return what the card says over a passage."""
        return " ".join(filter(None, (translate(self.text), self.remark(passage))))


def fourths_from_c(tonic: int) -> int:
    """Return how many fourths a key lies from C, 0 to 11.

    Args:
        tonic: its tonic's pitch class.
    """
    return tonic * _FOURTH % _KEYS


def task_for(passage: Passage, region: Region, tonic: int) -> Task:
    """Return what to keep to.

    Args:
        passage: the changes.
        region: the hand position.
        tonic: the key's pitch class.
    """
    return deal([task for task in every_task() if task.fits(passage)], tonic, region.number, passage.number)


def deal(tasks: Sequence[Task], tonic: int, region: int, passage: int) -> Task:
    """Deal one of some tasks: one further from key to key in fourths, two from region to region, three a passage.

    Where their number does not allow that, a region goes one back and a passage one further. The circle of fourths is
    cut into equal laps of at most as many keys as there are tasks, so that the last key differs from the first.

    Args:
        tasks: what there is, at least one.
        tonic: the key's pitch class.
        region: the region's number.
        passage: the passage's number.
    """
    count = len(tasks)
    lap = max(divisor for divisor in (1, 2, 3, 4, 6, 12) if divisor <= count)
    by_region: int = next(step for step in (2, *range(count - 1, 0, -1)) if gcd(step, count) == 1)
    by_passage = 3 if count > 3 else 1
    return tasks[(fourths_from_c(tonic) % lap + by_region * region + by_passage * passage) % count]


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


_USUAL = ("3", "7")


def _instead_of(*asked: str) -> Callable[[Passage], str]:
    """Name the chords that have another tone in the place of their third or seventh: `Over Cm6 the 6th.`."""

    def remark(passage: Passage) -> str:
        owners = defaultdict[str, list[str]](list)
        for chord in passage.chords:
            for usual, tone in zip(_USUAL, chord.chord.guide_tones, strict=True):
                degree = chord.degree_of(tone).lstrip("b#")
                if usual in asked and degree != usual:
                    owners[degree].append(chord.upper.label)
        return " ".join(
            _(
                "Over {chords} the {degree}.",
                chords=words.listed(dict.fromkeys(labels)),
                degree=words.degree_word(degree),
            )
            for degree, labels in owners.items()
        )

    return remark


def _of_substitutes(source: Source) -> Callable[[Passage], str]:
    """Name the chords over which another chord's root or third is meant."""

    def remark(passage: Passage) -> str:
        found = [chord for chord in passage.chords for made in arpeggios(chord) if made.source is source]
        labels = [chord.upper.label for chord in found if words.is_of_substitute(arpeggio(chord, source))]
        if not labels:
            return ""
        chords = words.listed(dict.fromkeys(labels))
        if source is Source.ROOT:
            return _("Over {chords} that is the root of the tritone substitute.", chords=chords)
        return _("Over {chords} that is the third of the tritone substitute.", chords=chords)

    return remark


def _two_bars_of_four(passage: Passage) -> tuple[Window, ...]:
    whole = passage.beats
    return tuple(Window(begin, min(begin + _PLAYED, whole)) for begin in range(0, whole, _PHRASE))


def dominants(passage: Passage) -> list[int]:
    """Return the beats on which a dominant that leads on begins, the key's V or a secondary one.

    It leads a fifth or a semitone down; the key's V is one wherever it goes. The plain I7 and IV7 of a blues are
    none, and a dominant that only changes its colour begins once (common practice, no source).

    Args:
        passage: the changes; after the last chord comes the first.
    """
    played = [(chord, sum(count for _, count in same)) for chord, same in groupby(passage.spans, key=itemgetter(0))]
    chords = [chord for chord, _ in played]
    found, at, before = [], 0, False
    for number, (chord, beats) in enumerate(played):
        leads = _leads_on(number, chords)
        if leads and not (before and chords[number - 1].chord == chord.chord):
            found.append(at)
        at, before = at + beats, leads
    return found


def _leads_on(number: int, chords: Sequence[Harmony]) -> bool:
    chord, root = chords[number], chords[number].chord.root.pitch_class
    if not chord.function.is_dominant:
        return False
    if chord.function.name in ("I7", "IV7") and chord.colour is not None and chord.colour.name == "plain":
        return False
    roots = (other.chord.root.pitch_class for other in (*chords[number:], *chords[:number]))
    rise = next(((other - root) % 12 for other in roots if other != root), 0)
    return chord.function.name == "V" or rise in (_FIFTH_BELOW, _SEMITONE_BELOW)


def _from_dominants(passage: Passage) -> tuple[Window, ...]:
    """Return phrases that each start on a dominant, at least two bars after the one before, and last four bars at most.

    A phrase stops half a bar before the next one.
    """
    begins: list[int] = []
    for beat in dominants(passage):
        if not begins or beat - begins[-1] >= _PLAYED:
            begins.append(beat)
    nexts = [begin - BEATS // 2 for begin in begins[1:]]
    return tuple(
        Window(begin, min(end, begin + _PHRASE), at_once=True)
        for begin, end in zip(begins, [*nexts, passage.beats], strict=False)
    )


def _has_dominants(passage: Passage) -> bool:
    """Whether a dominant comes at once or within four bars, and again within four bars after each phrase."""
    windows = _from_dominants(passage)
    if not windows:
        return False
    gaps = [following.begin - window.end for window, following in pairwise(windows)]
    return max(windows[0].begin, *gaps, 0) <= _PHRASE


def _has_half_bars(passage: Passage) -> bool:
    """Whether each chord lasts half a bar, which leaves room to prepare the next one."""
    return min(beats for _, beats in passage.spans) >= BEATS // 2


TASKS = (
    Task(
        marked("Land on the 3rd of each chord, on its first beat."),
        landing=_third,
        coming=Coming.ON_TIME,
        remark=_instead_of("3"),
    ),
    Task(
        marked("Only arpeggios from the third."),
        allowed=_arpeggio_from(Source.THIRD),
        remark=_of_substitutes(Source.THIRD),
    ),
    Task(marked("Start every phrase on a dominant chord."), windows=_from_dominants, fits=_has_dominants),
    Task(
        marked("Land on the 7th of each chord, on its first beat."),
        landing=_seventh,
        coming=Coming.ON_TIME,
        remark=_instead_of("7"),
    ),
    Task(marked("Only guide tones: hold, or move to the nearest."), allowed=_guide_tones, held=True),
    Task(
        marked("Only arpeggios from the root."),
        allowed=_arpeggio_from(Source.ROOT),
        remark=_of_substitutes(Source.ROOT),
    ),
    Task(marked("Play two bars, leave two bars empty."), windows=_two_bars_of_four),
    Task(
        marked("Enclose the 3rd of each chord: a step above, a semitone below, then the 3rd on its beat."),
        landing=_third,
        coming=Coming.ENCLOSED,
        fits=_has_half_bars,
        remark=_instead_of("3"),
    ),
    Task(
        marked("Come early: the 3rd or 7th of each chord on the eighth before it."),
        landing=_guide_tones,
        coming=Coming.EARLY,
        fits=_has_half_bars,
        remark=_instead_of("3", "7"),
    ),
)
"""What to keep to. Their order decides which card asks what."""

ADDED_TASKS: Registry[str, Task] = Registry("task", {})
"""Tasks of extensions by their texts; they are dealt after those above."""


def every_task() -> tuple[Task, ...]:
    """Return every task that is dealt."""
    return (*TASKS, *ADDED_TASKS.values())
