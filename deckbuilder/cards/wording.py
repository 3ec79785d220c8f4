"""Wording: a note in words, from its music and from the little that is its own.

The one place where tones, degrees, places and the prompt become text.
"""

from dataclasses import dataclass

from deckbuilder.cards import words
from deckbuilder.cards.music import Music
from deckbuilder.cards.note import ToneName, Words
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
    """

    asks: tuple[str, ...]
    task: str
    label: str
    over: str
    why: str
    question: str = ""
    heard: str | None = None


def worded(music: Music, said: Said, capo: int) -> Words:
    """Put a note into words.

    Args:
        music: the fact as music.
        said: what only the fact itself can say.
        capo: the fret at which a string is open, 0 for the nut.
    """
    return Words(
        key=music.key.label,
        where=f"region {music.region.number} · {music.region.position}" if music.region else "whole neck",
        prompt=words.joined(music.key.label, *said.asks),
        task=said.task,
        question=said.question,
        label=said.label,
        over=said.over,
        tones=tuple(
            ToneName(tone.label, pretty(degree), tone.pitch_class in music.guide_tones)
            for tone, degree in zip(music.tones, music.degrees, strict=True)
        ),
        places=words.place_lines(music.places, capo),
        missing=words.missing(music.missing),
        why=said.why,
        heard=said.heard,
    )
