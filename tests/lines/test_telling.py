"""What is said of a line is found in its notes; each kind of claim is checked here from pitches and onsets alone."""

from collections import Counter
from itertools import pairwise

import pytest

from deckbuilder.lines.notes import BAR, LineNote
from deckbuilder.lines.telling import Claim, Kind, claims, told
from tests.lines.deck import Example, default_examples, form_examples

EVERY = [
    (example, claim)
    for example in (*default_examples(), *form_examples())
    for claim in claims(example.passage.spans, example.line)
]


def joined(notes: list[LineNote]) -> bool:
    return all(before.end == after.onset for before, after in pairwise(notes))


def is_found(example: Example, claim: Claim) -> bool:
    """Whether the notes of a claim do what it says."""
    notes = [example.line[at] for at in claim.notes]
    midi = [note.midi for note in notes]
    moves = [after - before for before, after in pairwise(midi)]
    match claim.kind:
        case Kind.ENCLOSURE:
            return joined(notes) and min(midi[:2]) < midi[2] < max(midi[:2]) and max(midi[:2]) - min(midi[:2]) <= 3
        case Kind.SEMITONES:
            return joined(notes) and moves in ([1, 1], [-1, -1]) and ("below" in claim.text) == (moves == [1, 1])
        case Kind.SEMITONE:
            return joined(notes) and moves in ([1], [-1]) and ("below" in claim.text) == (moves == [1])
        case Kind.STEP:
            return joined(notes) and abs(moves[0]) == 2 and ("below" in claim.text) == (moves[0] > 0)
        case Kind.RESOLUTION:
            how = "fall to" if moves[0] < 0 else "rise to" if moves[0] else "stay as"
            altered = (midi[0] - example.chord(notes[0]).chord.root.pitch_class) % 12 in (1, 3, 6, 8)
            return joined(notes) and how in claim.text and abs(moves[0]) <= 2 and altered
        case Kind.HELD:
            how = "fall to" if moves[0] < 0 else "rise to" if moves[0] else "stay as"
            return how in claim.text and example.chord(notes[0]) != example.chord(notes[1])
        case Kind.BLUE:
            root = example.chord(notes[1]).chord.root.pitch_class
            return moves == [1] and (midi[1] - root) % 12 == 4
        case Kind.TRIAD:
            return joined(notes) and sorted(map(abs, moves)) in ([3, 4], [3, 5], [4, 5]) and moves[0] * moves[1] > 0
        case Kind.CELL:
            rising = all(move > 0 for move in moves)
            return joined(notes) and (rising or all(move < 0 for move in moves)) and max(map(abs, moves)) < 6
        case Kind.PASSING:
            at = claim.notes[0]
            before, note, after = (each.midi for each in example.line[at - 1 : at + 2])
            return note - before == after - note and abs(after - note) == 1
        case Kind.ANTICIPATION:
            begin = sum(beats for _, beats in example.passage.spans[: notes[0].chord]) * BAR // 4
            return (notes[0].onset + 6 - begin) % (12 * example.passage.beats) == 0
        case Kind.ANSWER:
            half = len(notes) // 2
            one, other = notes[:half], notes[half:]
            away = {second.onset - first.onset for first, second in zip(one, other, strict=True)}
            higher = other[0].midi > one[0].midi
            return len(away) == 1 and half >= 4 and ("higher" in claim.text) == higher
        case Kind.RETURN:
            last, first = notes
            return last.end == 12 * example.passage.beats and first.onset == 0 and 1 <= abs(first.midi - last.midi) <= 2
    return False


def test_every_claim_is_found_in_the_notes_it_names() -> None:
    for example, claim in EVERY:
        assert is_found(example, claim), (example.note.id, claim)
        named = example.line[claim.notes[-1]]
        if " of " in claim.text:
            assert example.chord(named).label in claim.text, (example.note.id, claim)


@pytest.mark.parametrize("kind", list(Kind))
def test_there_are_lines_that_do_each(kind: Kind) -> None:
    assert any(claim.kind is kind for _, claim in EVERY), kind


def test_every_line_says_what_it_does_on_its_card() -> None:
    for example in (*default_examples(), *form_examples()):
        said = told(example.passage.spans, example.line)
        assert said.startswith("The line ")
        assert said.endswith(".")
        assert example.note.words.why.endswith(f". {said}")


def test_an_answer_is_told_where_there_is_one_and_no_kind_twice() -> None:
    answers = Counter(example.note.id for example, claim in EVERY if claim.kind is Kind.ANSWER)
    assert len(answers) > 20
    for example, _ in EVERY:
        said = told(example.passage.spans, example.line)
        assert ("answers itself" in said) == (example.note.id in answers)
        assert said.count("encloses") <= 1
