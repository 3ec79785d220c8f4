"""Cards for changes of one's own: the facts that a form holds, in a key, each once.

Every chord is named by its place in the form's home key, and the hand stays in the home key's regions, also where a
section stands in another key: a player does not jump to another region for eight bars. A fact that a chord shares with
a level or with another form is the same note.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from zlib import crc32

from deckbuilder.cards.passage import Bar, Passage, cut
from deckbuilder.cards.slug import slug
from deckbuilder.theory.analysis import analyse
from deckbuilder.theory.chords import Chord
from deckbuilder.theory.forms import Form
from deckbuilder.theory.functions import Harmony, function_on
from deckbuilder.theory.keys import Key
from deckbuilder.theory.steps import Step

_FORMS = 1000
"""Forms of different names are told apart so far by their passages' numbers."""


@dataclass(frozen=True, slots=True)
class Changes:
    """A form in a key, every chord read.

    Args:
        form: the form.
        sections: its sections in the order in which they are played: name and bars.
    """

    form: Form
    sections: tuple[tuple[str, tuple[Bar, ...]], ...]

    @property
    def chords(self) -> tuple[Harmony, ...]:
        """Its chords in order of appearance, each once, without basses: these change no scale and no arpeggio."""
        return tuple(dict.fromkeys(chord.upper for chord in self._played()))

    @property
    def pairs(self) -> tuple[tuple[Harmony, Harmony], ...]:
        """Every pair of chords that follow each other, each once; after the last comes the first.

        A dominant that only takes on another colour goes nowhere and is no pair; pairs that differ in a colour alone
        are one, since their guide tones are.
        """
        played = [chord.upper for chord in self._played()]
        return first_of_each_colour(pairwise([*played, played[0]]))

    def passages(self) -> Iterator[Passage]:
        """Yield what is improvised over: each section, in eights where it is long; the same bars once."""
        seen: set[tuple[Bar, ...]] = set()
        first = crc32(self.form.name.encode()) % _FORMS
        for name, bars in self.sections:
            for part in cut(len(bars)):
                chosen = tuple(bars[index] for index in part)
                if chosen not in seen:
                    seen.add(chosen)
                    yield Passage(
                        "-".join(filter(None, (slug(self.form.name), slug(name), _bars(part)))),
                        " ".join(filter(None, (self.form.name, name))),
                        first + len(seen),
                        chosen,
                    )

    def _played(self) -> Iterator[Harmony]:
        return (chord for _, bars in self.sections for bar in bars for chord, _ in bar)


def changes_in(form: Form, key: str) -> Changes:
    """Read a form in a key.

    Args:
        form: the form.
        key: ASCII name of the major key on whose tonic it stands; without meaning for a form that is kept where it is.
    """
    moved = form.on(Key.parse(key).tonic) if form.transposes else form
    harmonies = iter(analyse(moved))
    return Changes(
        moved,
        tuple(
            (
                section.name,
                tuple(
                    tuple((_at_home(next(harmonies).harmony, moved.home), chord.beats) for chord in bar.chords)
                    for bar in section.bars
                ),
            )
            for section in moved.sections
        ),
    )


def _at_home(chord: Harmony, home: Key) -> Harmony:
    """Name a chord by its place in the home key; what a dominant leads to is no part of what it is."""
    function = chord.function
    step = Step(function.step, function.alteration) if chord.key == home else Step.of(chord.chord.root, home)
    return replace(chord, key=home, function=function_on(step, chord.chord.quality))


def _bars(part: range) -> str:
    return f"bars-{part.start + 1}-{part.stop}"


def first_of_each_colour(pairs: Iterable[tuple[Harmony, Harmony]]) -> tuple[tuple[Harmony, Harmony], ...]:
    """Return pairs of different chords, those that differ only in a dominant's colour once.

    Args:
        pairs: neighbouring chords.
    """
    found: dict[tuple[Chord, Chord], tuple[Harmony, Harmony]] = {}
    for first, second in pairs:
        if first.chord != second.chord:
            found.setdefault((first.chord, second.chord), (first, second))
    return tuple(found.values())
