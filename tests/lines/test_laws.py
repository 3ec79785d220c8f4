"""Laws that every example line keeps, in the default deck and in changes of one's own."""

from itertools import pairwise

import pytest

from deckbuilder.lines.notes import BAR, BEAT, EIGHTH, LineNote, Role
from deckbuilder.lines.palette import palette
from tests.lines.deck import Example, default_examples, form_examples
from tests.lines.yardstick import phrases

CLASSES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
STEPS = {
    "1": 0, "#1": 1, "b9": 1, "9": 2, "#9": 3, "b3": 3, "3": 4, "4": 5, "11": 5, "b5": 6, "#11": 6, "5": 7, "#5": 8,
    "b13": 8, "6": 9, "13": 9, "bb7": 9, "b7": 10, "7": 11,
}  # fmt: skip
"""Degrees in semitones above the root: common practice, no source."""
ENDINGS = {"3", "b3", "4", "5", "b5", "#5", "6", "bb7", "b7", "7", "9", "b9", "#9"}
"""The 3, 5, 7 or 9 of a chord, plain or altered; the 4 of a suspended chord and the 6 of a sixth chord count too."""


def everything() -> tuple[Example, ...]:
    return default_examples() + form_examples()


def composed() -> list[Example]:
    """Every line that is not held."""
    return [example for example in everything() if not example.held]


def is_strong(note: LineNote) -> bool:
    """Whether a note begins on beat 1 or 3."""
    return note.onset % (2 * BEAT) == 0


def is_blue(example: Example, note: LineNote) -> bool:
    """Whether a note is the tonic's flat third or fifth over the I7 or IV7 of the blues."""
    chord = example.chord(note)
    away = (note.midi - chord.key.tonic.pitch_class) % 12
    return "blues" in example.note.id and chord.function.name in ("I7", "IV7") and away in (3, 6)


def test_every_improvisation_has_a_line() -> None:
    assert len(default_examples()) == 180
    assert len(form_examples()) == 5 + 15 + 10
    assert all(example.line for example in everything())


def test_notes_follow_each_other_within_the_changes() -> None:
    for example in everything():
        line = example.line
        assert line[0].onset >= 0
        assert line[-1].end <= BEAT * example.passage.beats
        assert all(before.end <= after.onset for before, after in pairwise(line)), example.note.id
        assert all(note.length > 0 for note in line)


def test_a_note_is_named_by_what_it_is_and_lies_where_it_sounds() -> None:
    for example in everything():
        for note in example.line:
            named = CLASSES[note.tone.letter] + note.tone.accidental + 12 * (note.octave + 1)
            assert named == note.midi == example.recipe.instrument.neck.sounding.midi(note.place)
            root = example.chord(note).chord.root.pitch_class
            assert (note.midi - root) % 12 == STEPS[note.degree], (example.note.id, note)
            assert abs(note.tone.accidental) < 2


def test_the_hand_stays_in_its_region_a_fret_out_at_most() -> None:
    for example in everything():
        first = max(example.region.index_fret, 1)
        for note in example.line:
            fret = note.place.fret
            assert first - 1 <= fret <= first + 4 or (fret == 0 and example.region.index_fret <= 1), example.note.id


def test_no_leap_exceeds_an_octave_and_nothing_is_repeated_dead() -> None:
    for example in composed():
        midi = [note.midi for note in example.line]
        for phrase in phrases(example.line):
            assert all(abs(after.midi - before.midi) <= 12 for before, after in pairwise(phrase)), example.note.id
        for one, two, three, four in zip(midi, midi[1:], midi[2:], midi[3:], strict=False):
            assert (one, two) != (three, four), example.note.id
            assert not one == two == three, example.note.id


def test_a_chromatic_tone_is_left_by_a_semitone() -> None:
    """Blue notes of a blues may also fall or rise by a minor third, as the blues scale does."""
    met = 0
    for example in composed():
        for before, note in pairwise(example.line):
            chord = example.chord(before)
            if before.midi % 12 in chord.scale.pitch_classes | chord.chord.pitch_classes:
                continue
            met += 1
            limit = 3 if is_blue(example, before) else 1
            assert 1 <= abs(note.midi - before.midi) <= limit, (example.note.id, before)
            assert not is_strong(before) or is_blue(example, before), (example.note.id, before)
    assert met > 100


def test_strong_beats_have_tones_of_the_chord_or_tensions() -> None:
    """A fourth above a major third, and what is chromatic, stand on strong beats nowhere."""
    for example in composed():
        for note in example.line:
            if is_strong(note) and not is_blue(example, note):
                own = palette(example.chord(note))
                assert own.step_of(note.midi) not in own.avoided | (frozenset(range(12)) - own.played), example.note.id


def test_phrases_end_on_1_2and_or_4and_on_a_good_tone() -> None:
    """Beats: common practice, no source. Where a task lands on each chord, its tone on beat 3 may be the last."""
    for example in composed():
        for phrase in phrases(example.line):
            last = phrase[-1]
            beats = {0, BEAT + EIGHTH, BAR - EIGHTH} | ({BAR // 2} if "Land" in example.note.words.question else set())
            assert last.onset % BAR in beats, (example.note.id, last)
            assert last.degree in ENDINGS or "arpeggios" in example.note.words.question, (example.note.id, last)


def test_a_phrase_has_at_most_one_quicker_beat() -> None:
    for example in composed():
        for phrase in phrases(example.line):
            quick = {note.onset // BEAT for note in phrase if note.length in (BEAT // 3, EIGHTH // 2)}
            assert len(quick) <= 1, example.note.id


def test_lines_are_never_only_eighths() -> None:
    plain = [example for example in composed() if {note.length for note in example.line} == {EIGHTH}]
    assert len(plain) < 0.05 * len(composed())


def test_an_anticipation_comes_an_eighth_before_its_chord() -> None:
    met = 0
    for example in everything():
        ends = {chord.end % (BEAT * example.passage.beats): chord for chord in example.chords}
        for note in example.line:
            if note.role is Role.ANTICIPATION:
                met += 1
                begin = (note.onset + EIGHTH) % (BEAT * example.passage.beats)
                assert begin in ends
                following = next(chord for chord in example.chords if chord.begin == begin)
                assert example.chord(note) == following.harmony
                assert note.midi % 12 in following.harmony.scale.pitch_classes | following.harmony.chord.pitch_classes
    assert met > 10


def test_most_arrivals_are_approached() -> None:
    """Arrivals: the first notes over a chord on a strong beat that a note runs into; at least 60 in 100 by step."""
    arrived = approached = 0
    for example in composed():
        for before, note in pairwise(example.line):
            if note.role is Role.TARGET and before.end == note.onset:
                arrived += 1
                approached += 1 <= abs(note.midi - before.midi) <= 2
    assert arrived > 300
    assert approached >= 0.6 * arrived


def test_tensions_stand_on_strong_beats_of_altered_bars_as_often_as_guide_tones_and_the_root_seldom() -> None:
    counted = {"tension": 0, "guide": 0, "root": 0}
    for example in default_examples():
        for note in example.line:
            chord = example.chord(note)
            if is_strong(note) and not example.held and chord.colour and chord.colour.name == "altered":
                kind = {"3": "guide", "b7": "guide", "1": "root"}.get(note.degree, "tension")
                counted[kind] += 1
    assert counted["tension"] >= counted["guide"]
    assert counted["root"] < 0.1 * sum(counted.values())


def test_altered_tones_resolve_by_step_or_stay() -> None:
    """Over the bar line into the next chord, in one run; b9 to 5, b13 to 9 and the like are all such steps."""
    met = stepped = 0
    for example in composed():
        for before, note in pairwise(example.line):
            if before.chord != note.chord and before.end == note.onset and before.degree in ("b9", "#9", "b5", "b13"):
                met += 1
                stepped += abs(note.midi - before.midi) <= 2
    assert met > 30
    assert stepped >= 0.9 * met


def told_apart(line: tuple[LineNote, ...]) -> dict[int, int]:
    return {note.onset: note.midi for note in line}


def test_neighbours_share_no_more_than_half_their_notes() -> None:
    """Next key in fourths, next region, next level: notes at the same time, up to the transposition that suits best."""
    fourths = [example.note.identity.key for example in default_examples()]
    order = list(dict.fromkeys(fourths))
    at = {
        (order.index(example.note.identity.key), example.note.identity.region or 0, example.note.level): example
        for example in default_examples()
        if not example.held
    }
    compared = 0
    for (key, region, level), example in at.items():
        for neighbour in (((key + 1) % 12, region, level), (key, region + 1, level), (key, region, level + 1)):
            if neighbour in at:
                compared += 1
                one, other = told_apart(example.line), told_apart(at[neighbour].line)
                moved = [midi - other[onset] for onset, midi in one.items() if onset in other]
                most = max((moved.count(distance) for distance in set(moved)), default=0)
                assert 2 * most <= max(len(one), len(other)), (example.note.id, at[neighbour].note.id)
    assert compared > 300


@pytest.mark.parametrize("held", [True, False])
def test_no_two_lines_of_the_deck_are_the_same_in_other_keys(held: bool) -> None:
    """Held lines follow from the chords alone, and may; others are all different."""
    if held:
        assert any(example.held for example in default_examples())
        return
    lines = [example.line for example in default_examples() if not example.held]
    shapes = {tuple((note.onset, note.midi - line[0].midi) for note in line) for line in lines}
    assert len(shapes) == len(lines)
