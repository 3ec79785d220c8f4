"""Words: what the desk says of every choice, as a guitarist would. A row is what is chosen, its name and a sentence."""

from typing import Final

from deckbuilder.cards.choices import Breadth, Hand, Labels, Notation, Order
from deckbuilder.picture.description import Ground, Size
from deckbuilder.sound.arrangement import Direction
from deckbuilder.speech import Names, marked

Said = tuple[str, str]
"""A name and a sentence, in English."""

LEVELS: Final[dict[int, str]] = {
    1: marked("ii, V and I: the key’s scale, and over each chord the arpeggio from its root and from its 3rd."),
    2: marked("V with altered notes: its scale, and the two arpeggios that fit it."),
    3: marked("VI with altered notes, which leads back to ii and closes the loop."),
    4: marked("iiø, V and i in the minor key on the same note, in the same places on the neck."),
}
"""What each level adds."""

COLOURS: Final[dict[str, str]] = {
    "plain": marked("The bright 9 and 13 of a major key."),
    "altered": marked("Both altered ninths and both altered fifths."),
    "harmonic-minor": marked("♭9 and ♭13 above a natural 5: the pull to a minor chord."),
    "lydian-dominant": marked("A bright ♯11, for a dominant that need not resolve down a fifth."),
    "mixolydian-b6": marked("A dark ♭13 under a bright 9."),
    "half-whole-diminished": marked("♭9 and ♯9 with a bright 13: a shape that repeats every three frets."),
    "whole-tone": marked("♯5 and ♯11 with a natural 9: nothing but whole steps."),
}
"""What each scale over a dominant gives it."""

ORDERS: Final[dict[str, Said]] = {
    Order.REGION_FIRST: (
        marked("Place by place"),
        marked("One place on the neck through all keys, then the next place."),
    ),
    Order.KEY_FIRST: (marked("Key by key"), marked("One key all over the neck, then the next key.")),
}

BREADTHS: Final[dict[str, Said]] = {
    Breadth.EVERY_REGION: (marked("Everywhere"), marked("In every key and every place on the neck.")),
    Breadth.ONCE_A_KEY: (
        marked("Once in each key"),
        marked("In one place on the neck in each key, another one from key to key."),
    ),
    Breadth.FIRST_LAP: (
        marked("The first time round"),
        marked("Only in the first place, or the first key; in changes of your own everywhere."),
    ),
}

LABELS: Final[dict[str, Said]] = {
    Labels.DEGREES: (marked("Numbers"), marked("What each note is to the chord: 1, ♭3, 5, ♭7.")),
    Labels.NAMES: (marked("Note names"), marked("What each note is called: G, B♭, D, F.")),
}

NOTATIONS: Final[dict[str, Said]] = {
    Notation.BOTH: (marked("Staff and tablature"), marked("Answers show both, one above the other.")),
    Notation.TABLATURE: (marked("Tablature"), marked("Answers show strings and frets, and no staff.")),
    Notation.STAFF: (marked("Staff"), marked("Answers show notes on a staff, and no tablature.")),
    Notation.NONE: (marked("None"), marked("Answers show the neck alone.")),
}

DIRECTIONS: Final[dict[str, Said]] = {
    Direction.UP: (marked("Up"), marked("Scales and arpeggios are played from low to high.")),
    Direction.DOWN: (marked("Down"), marked("Scales and arpeggios are played from high to low.")),
    Direction.UP_AND_DOWN: (marked("Up and down"), marked("Scales and arpeggios are played up and back down.")),
}

HANDS: Final[dict[str, Said]] = {
    Hand.RIGHT: (marked("Right-handed"), marked("Your right hand plucks; pictures have the nut on the left.")),
    Hand.LEFT: (marked("Left-handed"), marked("Your left hand plucks; pictures have the nut on the right.")),
}

STRUNG: Final[dict[str, Said]] = {
    Hand.RIGHT: (
        marked("Strung right-handed"),
        marked("The strings lie as for a right-handed player, whichever hand plucks them."),
    ),
    Hand.LEFT: (
        marked("Strung left-handed"),
        marked("The strings lie as for a left-handed player, whichever hand plucks them."),
    ),
}

GROUNDS: Final[dict[str, Said]] = {
    Ground.FOLLOW: (marked("Like the card"), marked("Necks are light on a light card and dark on a dark one.")),
    Ground.DARK: (marked("Dark"), marked("Necks are dark, whatever the card is.")),
    Ground.LIGHT: (marked("Light"), marked("Necks are light, whatever the card is.")),
}

SIZES: Final[dict[str, Said]] = {
    Size.USUAL: (marked("Usual letters"), marked("Letters on the neck as large as five frets leave room for.")),
    Size.LARGE: (marked("Large letters"), marked("Letters on the neck are easy to read on a small phone.")),
}

NAMES: Final[dict[str, Said]] = {
    Names.ENGLISH: ("C D E F G A B", marked("The seventh note of C major is B, and B♭ lies below it.")),
    Names.GERMAN: ("C D E F G A H", marked("The seventh note of C major is H, and B lies below it.")),
    Names.SOLFEGE: ("do ré mi fa sol la si", marked("C is always do.")),
}

RECIPES: Final[dict[str, str]] = {
    "default": marked("Every key, all over the neck: the cadence, the altered dominant and the turnaround."),
    "quick": marked("A quick look: one key in two places."),
    "blues": marked("A twelve-bar blues in F: scales, arpeggios, ways from chord to chord, and choruses to play."),
    "minor": marked("Sixteen bars in C minor: the minor cadence, a visit to iv and chords from other keys."),
    "rhythm": marked("Rhythm changes in B♭: thirty-two bars, A A B A."),
}
"""Included recipes."""
