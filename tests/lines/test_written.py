"""Some lines written out bar by bar, so that a musician can read and judge them.

Each note: beat, name with octave, degree of its chord. `&` is the second eighth of a beat, `e` its second sixteenth,
`t` and `T` the second and third note of a triplet; `~` marks a note of a beat or longer. All are of the default
deck or of the recipe `blues`. When lines are *meant* to change, read these again before they are written anew.
"""

from itertools import chain

import pytest

from tests.lines.deck import default_examples, form_examples
from tests.noted import task_of

HELD = (
    "Cm7: 1:E♭4(♭3)~",
    "F7alt: 1:E♭4(♭7)~",
    "B♭maj7: 1:D4(3)~",
    "G7alt: 1:B3(3)~",
)
TWO_BARS = (
    "Gm7: 1:B♭3(♭3)~ 2:D4(5) 2&:F4(♭7) 3:G4(1) 3&:A4(9) 4:B♭4(♭3) 4&:A4(9)",
    "C7alt: 1:A♭4(♭13) 1e:B♭4(♭7) 1&:A♭4(♭13) 2:G♭4(♭5) 2&:E4(3)",
    "Fmaj7: rest",
    "Fmaj7: rest",
)
TURNAROUND = (
    "Gm7: 1:F3(♭7) 1&:E3(13) 2:G3(1)~ 3:B♭3(♭3)~ 4:A3(9) 4&:C4(11)",
    "C7alt: 1:B♭3(♭7) 1&:A♭3(♭13)~ 2&:C4(1) 3:D♭4(♭9) 3t:E4(3) 3T:A♭4(♭13) 4:G♭4(♭5) 4&:D♯4(♯9)",
    "Fmaj7: 1:E4(7) 1&:D4(13) 2:F4(1)~ 3:E4(7)~ 4:E♭4(♭7) 4&:D4(13)",
    "D7alt: 1:C4(♭7) 1&:F♯3(3) 2:B♭3(♭13) 2&:E♭4(♭9)",
)
ENCLOSED = (
    "Gm7: 1:B♭3(♭3) 1&:F3(♭7)~ 2&:E3(13) 3:D3(5) 3&:C3(11) 4:F3(♭7) 4&:D♯3(♯5)",
    "C7alt: 1:E3(3) 1&:A♭3(♭13) 2&:B♭3(♭7) 4:B♭3(♭7) 4&:A♭3(♭13)",
    "Fmaj7: 1:A3(3) 1&:D4(13)~ 2&:C♯4(♯5) 3:C4(5) 3&:A3(3) 4:G3(9) 4&:F3(1)",
    "D7alt: 1:F♯3(3) 1e:A♭3(♭5) 1&:F♯3(3) 2&:B♭3(♭13) 4:D4(1) 4&:C4(♭7)",
)
BLUES = (
    "F7: 1:E♭4(♭7) 1&:F4(1) 2:A♭4(♭3)~ 3:A4(3)~ 4:A4(3) 4&:G4(9)",
    "B♭7: 1:A♭4(♭7) 1&:F4(5)~ 2&:G4(13) 3:A♭4(♭7) 3&:G♭4(♭13) 4:F4(5) 4&:E4(♯11)",
    "F7: 1:E♭4(♭7) 1&:C4(5) 2:B♭3(11)~ 3:A3(3) 3&:G3(9) 4:E♭3(♭7) 4e:F3(1) 4&:E3(7)",
    "F7alt: 1:E♭3(♭7) 1&:E♭4(♭7) 2:G♭4(♭9) 2&:G♯4(♯9)",
    "B♭7: 1:A♭4(♭7)~ 2:E♭4(11) 2&:D4(3) 4&:G3(13)",
    "Bdim7: 1:A♭3(♭♭7)~ 2:B3(1) 2t:D4(♭3) 2T:G4(♭13) 3:F4(♭5) 3&:E4(11) 4:C♯4(9) 4&:D4(♭3)",
    "F7: 1:E♭4(♭7)~ 2:A3(3) 2&:G3(9) 4&:F4(1)",
    "Am7♭5 D7alt: 1:G4(♭7)~ 2:E♭4(♭5) 2&:D4(11) 3:C4(♭7) 3&:E♭4(♭9) 4:F♯4(3) 4&:E4(9)",
    "Gm7: 1:F4(♭7)~ 2:F4(♭7) 2&:G4(1) 3:G4(1) 3&:A4(9) 4:C5(11) 4&:B4(3)",
    "C7alt: 1:B♭4(♭7) 1&:G♭4(♭5) 2:D♯4(♯9) 2&:B♭3(♭7)",
    "F7 D7alt: 1:E♭4(♭7)~ 2:E♭4(♭7) 2&:C4(5) 3:C4(♭7) 3&:D4(1) 4:F♯4(3) 4&:E4(9)",
    "Gm7 C7alt: 1:F4(♭7)~ 2&:A3(9) 3:B♭3(♭7) 3e:C4(1) 3&:B♭3(♭7) 4:D♭4(♭9) 4&:E4(3)",
)


@pytest.mark.parametrize(
    ("place", "task", "said", "written"),
    [
        (
            "Bb/region-1-of-5/turnaround",
            "Only guide tones: hold, or move to the nearest.",
            "The line lets the ♭3 of Cm7 stay as the ♭7 of F7alt, "
            "lets the ♭7 of F7alt fall to the 3 of B♭maj7 and lets the 3 of B♭maj7 fall to the 3 of G7alt.",
            HELD,
        ),
        (
            "F/region-4-of-5/altered-cadence",
            "Play two bars, leave two bars empty.",
            "The line comes to the ♭13 of C7alt by two semitones from above.",
            TWO_BARS,
        ),
        (
            "F/region-1-of-5/turnaround",
            "Land on the 7th of each chord, on its first beat.",
            "The line encloses the ♭7 of C7alt, lets the ♯9 of C7alt rise to the 7 of Fmaj7, "
            "plays the triad of D♭m over C7alt and comes to the ♭7 of D7alt by step from above.",
            TURNAROUND,
        ),
        (
            "F/region-3-of-5/turnaround",
            "Enclose the 3rd of each chord: a step above, a semitone below, then the 3rd on its beat.",
            "The line encloses the 3 of C7alt, lets the ♭13 of C7alt rise to the 3 of Fmaj7, "
            "passes through the ♯5 over Fmaj7 and leads back to its first note.",
            ENCLOSED,
        ),
        (
            "F/region-4-of-5/twelve-bar-blues-bars-1-12",
            "Land on the 7th of each chord, on its first beat.",
            "The line encloses the ♭7 of B♭7, moves from the ♭3 to the 3 of F7, "
            "plays the triad of E♭m over C7alt and comes to the ♭7 of F7 by two semitones from above.",
            BLUES,
        ),
    ],
)
def test_a_line_reads_as_it_is_written_here(place: str, task: str, said: str, written: tuple[str, ...]) -> None:
    every = chain(default_examples(), form_examples())
    example = next(each for each in every if each.note.id.endswith(f"improvisation/{place}"))
    assert task_of(example.note) == task
    assert example.note.words.why.endswith(said)
    assert tuple(example.written()) == written
