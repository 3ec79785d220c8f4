"""Rounds: which check-up each note belongs to.

A player who asks where he stands cannot answer a whole deck. A round is a part of it that is like the whole: every key,
region, level, source, fact and kind as often as its share of the deck lets it. No note is in two rounds.

A note's round follows from what the note is about and from nothing else: the same note has the same round in every
deck, large or small, on every instrument and after every rebuild; a smaller deck has the same rounds with less in them.

The rule is a Latin square's. What is asked has a number, so have key and region, and the round is their sum: each
question comes equally often in every round, whatever its number, each time in another key and region. Numbers of
arpeggios are two apart, so that keys and regions have even and odd ones in turn.
"""

from zlib import crc32

from deckbuilder.cards.facts import Fact
from deckbuilder.cards.identity import Identity
from deckbuilder.cards.levels import LEVELS, lessons
from deckbuilder.theory.keys import Key

ROUNDS = 10
"""How many there are: even, and as many as give the default deck's rounds 120 to 150 cards, twenty minutes, and each
key about twenty-three in two rounds. Another number moves notes, which costs a player no more than the check-up under
way."""

_A_REGION, _A_SCALE, _DIGEST_SHIFT = 3, 8, 4
"""Rounds from region to region and from scale to scale, and which bits of a digest count: of the choices that were
tried, those that share out the default deck's keys most evenly."""
_FOURTHS, _KEYS = 5, 12
_IN_MAJOR = (level for level in LEVELS.built_in.values() if not level.minor)
_CHORDS = {(lesson.function, lesson.colour): number for number, (_, lesson) in enumerate(lessons(_IN_MAJOR))}
"""The levels' chords in major, numbered in the order in which they are met."""


def round_of(identity: Identity) -> int | None:
    """Return a note's round.

    Args:
        identity: what the note is about.

    Returns:
        1 to `ROUNDS`; None for what a check-up does not ask: an improvisation needs the instrument, and the player
        grades himself by how it went.
    """
    if identity.fact is Fact.IMPROVISATION:
        return None
    key = Key.parse_either(identity.key).tonic.pitch_class * _FOURTHS % _KEYS
    return (_question(identity) + _A_REGION * (identity.region or 0) + key) % ROUNDS + 1


def _question(identity: Identity) -> int:
    """Return the number of what is asked, key and region aside; where no table has it, a digest of its words."""
    chord = _CHORDS.get((identity.function or "", identity.colour))
    if identity.scale is None and identity.item is None:
        if chord is not None and identity.fact in (Fact.ARPEGGIO, Fact.SPELLING):
            number = 2 * chord + (identity.source == "third")
            return 2 * number + number // (ROUNDS // 2)
        if identity.fact is Fact.SCALE and (chord is not None or identity.function is None):
            return 1 + _A_SCALE * (0 if chord is None else 1 + chord)
    words = (identity.fact, identity.function, identity.colour, identity.scale, identity.source, identity.item)
    return crc32("/".join(str(word) for word in words if word is not None).encode()) >> _DIGEST_SHIFT
