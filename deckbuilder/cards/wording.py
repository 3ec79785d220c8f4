"""Wording: a note in words, from its music and from the little that is its own.

The one place where tones, degrees, places and the prompt become text.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from deckbuilder.cards import words
from deckbuilder.cards.music import Music, guide_tones
from deckbuilder.cards.note import ToneName, Words
from deckbuilder.speech import _
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.tones import pretty


@dataclass(frozen=True, slots=True)
class Said:
    """What only a fact itself can say.

    Args:
        asks: the parts of the prompt after the key.
        task: the question in short.
        label: the answer.
        over: the chord it serves and that chord's place.
        why: one line of reason.
        question: the question in full, where a card asks it so.
        heard: what is right where a question is about sound alone, ASCII.
        owners: the chord that each tone of the answer is counted against, where more than one sounds.
    """

    asks: tuple[str, ...]
    task: str
    label: str
    over: str
    why: str
    question: str = ""
    heard: str | None = None
    owners: tuple[Harmony, ...] = ()


def worded(music: Music, said: Said, capo: int) -> Words:
    """Put a note into words.

    Args:
        music: the fact as music.
        said: what only the fact itself can say.
        capo: the fret at which a string is open, 0 for the nut.
    """
    return Words(
        key=music.key.label,
        where=words.region_head(music.region) if music.region else _("whole neck"),
        prompt=words.joined(music.key.label, *said.asks),
        task=said.task,
        question=said.question,
        label=said.label,
        over=said.over,
        tones=tuple(_tones(music, said.owners)),
        places=words.place_lines(music.places, capo),
        missing=words.missing(music.missing),
        why=said.why,
        heard=said.heard,
    )


def _tones(music: Music, owners: tuple[Harmony, ...]) -> Iterator[ToneName]:
    """Name tones with their degrees, guide tones also as the chord spells them: `G♭ = F♯`."""
    if owners:
        for tone, degree, owner in zip(music.tones, music.degrees, owners, strict=True):
            of = _("{degree} of {chord}", degree=pretty(degree), chord=owner.label)
            yield ToneName(tone.label, of, tone.pitch_class in guide_tones(owner))
        return
    for tone, degree in zip(music.tones, music.degrees, strict=True):
        name = words.tone_name(tone, music.chords[0])
        yield ToneName(name, pretty(degree), tone.pitch_class in music.guide_tones)
