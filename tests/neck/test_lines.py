"""Lines: laws that every running and every held line keeps, and that the search finds the cheapest running one."""

import itertools
import random
import time
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deckbuilder.neck.fingering import fingering
from deckbuilder.neck.hand import REACH
from deckbuilder.neck.linenotes import BAR, STRONG, Candidate, LineNote, Phrase, Slot, Span, Tone
from deckbuilder.neck.lines import candidates, held_line, line, melody, shared
from deckbuilder.neck.linesearch import BACK, WIDEST, Search
from deckbuilder.neck.regions import Region, regions
from deckbuilder.neck.tuning import NeckError, Place
from deckbuilder.theory.analysis import analyse
from deckbuilder.theory.arpeggios import Source, arpeggio
from deckbuilder.theory.changes import SectionText, parse_form
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import DEFAULT_KEYS, Key
from deckbuilder.theory.tones import Tone as NamedTone
from tests.neck.necks import STANDARD
from tests.theory.harmonies import chord_in

LEVELS = {
    1: (("ii", None, 4), ("V", "plain", 4), ("I", None, 8)),
    2: (("ii", None, 4), ("V", "altered", 4), ("I", None, 8)),
    3: (("ii", None, 4), ("V", "altered", 4), ("I", None, 4), ("VI", "altered", 4)),
}
BLUES = "| I7 | IV7 | I7 | % | IV7 | #iv°7 | I7 | VI7alt | ii7 | V7alt | I7 VI7 | ii7 V7 |"


def span_of(chord: Harmony, beats: int, index_fret: int) -> Span:
    notes = fingering(STANDARD, chord.scale.pitch_classes, index_fret, frets=22).notes
    sounding = [arpeggio(chord, source).chord for source in Source]
    return Span(
        beats,
        candidates(
            notes,
            guides={tone.pitch_class for tone in chord.chord.guide_tones},
            stable={tone.pitch_class for tone in chord.stable_tones},
            arpeggio=sounding[0].pitch_classes | sounding[1].pitch_classes,
        ),
    )


def places_of(key: str) -> tuple[Region, ...]:
    return regions(STANDARD, Key.parse(key).tonic.pitch_class)


def level_spans(key: str, region: Region, level: int) -> tuple[Span, ...]:
    return tuple(
        span_of(chord_in(key, name, colour), beats, region.index_fret) for name, colour, beats in LEVELS[level]
    )


def midi_of(notes: tuple[LineNote, ...]) -> list[int]:
    return [note.note.midi for note in notes]


def eighths_of(spans: tuple[Span, ...]) -> list[int]:
    """Return the index of the chord that sounds at every eighth."""
    return [number for number, span in enumerate(spans) for _ in range(2 * span.beats)]


def whole(spans: tuple[Span, ...]) -> tuple[Phrase, ...]:
    return (Phrase(0, len(eighths_of(spans))),)


def check_laws(spans: tuple[Span, ...], notes: tuple[LineNote, ...], phrases: tuple[Phrase, ...] = ()) -> None:
    eighths = eighths_of(spans)
    played = [eighth for phrase in phrases or whole(spans) for eighth in range(phrase.begin, phrase.end)]
    assert [note.onset + part for note in notes for part in range(note.length)] == played
    for phrase in phrases or whole(spans):
        within = [note for note in notes if phrase.begin <= note.onset < phrase.end]
        assert {note.length for note in within[:-1]} <= {1}
        if phrase.end - phrase.begin > STRONG:
            assert within[-1].is_strong
            assert within[-1].length >= 2
        assert within[-1].note.tone is not Tone.APPROACH
    for note in notes:
        assert note.span == eighths[note.onset]
        assert note.note in spans[note.span].candidates
        if note.is_strong:
            assert note.note.tone in (Tone.GUIDE, Tone.STABLE)
    midi = midi_of(notes)
    for (before, after), note in zip(itertools.pairwise(midi), notes, strict=False):
        assert 0 < abs(after - before) <= WIDEST
        if note.note.tone is Tone.APPROACH:
            assert abs(after - before) <= 2
    for one, two, three, four in zip(midi, midi[1:], midi[2:], midi[3:], strict=False):
        assert (one, two) != (three, four)


@pytest.fixture(scope="module")
def deck() -> dict[tuple[str, int, int], tuple[LineNote, ...]]:
    """Make the line of every key, region and level of a whole deck."""
    return {
        (key, region.number, level): line(spans, whole(spans), f"1/{key}/{region.number}/{level}")
        for key in DEFAULT_KEYS
        for region in places_of(key)
        for level in LEVELS
        for spans in [level_spans(key, region, level)]
    }


def test_every_line_of_a_deck_keeps_the_laws(deck: dict[tuple[str, int, int], tuple[LineNote, ...]]) -> None:
    assert len(deck) == 180
    for (key, number, level), notes in deck.items():
        region = places_of(key)[number - 1]
        check_laws(level_spans(key, region, level), notes)
        for note in notes:
            place = note.note.place
            assert STANDARD.midi(place) == note.note.midi
            assert place.fret == 0 or -REACH <= place.fret - region.index_fret <= STANDARD.hand.span - 1 + REACH


def test_most_strong_beats_have_guide_tones(deck: dict[tuple[str, int, int], tuple[LineNote, ...]]) -> None:
    strong = [note.note.tone for notes in deck.values() for note in notes if note.is_strong]
    assert strong.count(Tone.GUIDE) > 0.6 * len(strong)


def test_no_two_lines_of_a_deck_share_more_than_half_their_notes(
    deck: dict[tuple[str, int, int], tuple[LineNote, ...]],
) -> None:
    for one, other in itertools.combinations(map(melody, deck.values()), 2):
        assert 2 * shared(one, other) <= min(len(one), len(other))


def test_short_lines_that_would_resemble_each_other_are_drawn_anew() -> None:
    made: list[tuple[LineNote, ...]] = []
    redrawn = 0
    for key in DEFAULT_KEYS:
        for region in places_of(key):
            spans = level_spans(key, region, 1)[1:]
            spans = (*spans[:1], Span(4, spans[1].candidates))
            alone = line(spans, whole(spans), f"{key}{region.number}")
            made.append(line(spans, whole(spans), f"{key}{region.number}", made))
            redrawn += made[-1] != alone
    assert redrawn > 0
    for one, other in itertools.combinations(map(melody, made), 2):
        assert 2 * shared(one, other) <= len(one)


@given(st.text(max_size=8), st.sampled_from(DEFAULT_KEYS), st.integers(0, 4), st.sampled_from(sorted(LEVELS)))
@settings(max_examples=60)
def test_a_line_keeps_the_laws_whatever_the_seed_and_follows_from_it_alone(
    seed: str, key: str, number: int, level: int
) -> None:
    spans = level_spans(key, places_of(key)[number], level)
    found = line(spans, whole(spans), seed)
    check_laws(spans, found)
    assert line(spans, whole(spans), seed) == found


def phrases_between(beats: list[int]) -> tuple[Phrase, ...]:
    begins_and_ends = sorted(beats)
    return tuple(
        Phrase(2 * begin, 2 * end) for begin, end in zip(begins_and_ends[::2], begins_and_ends[1::2], strict=False)
    )


PHRASES = st.lists(st.integers(0, 16), min_size=2, max_size=8, unique=True).map(phrases_between)


@given(st.sampled_from(DEFAULT_KEYS), st.integers(0, 4), st.sampled_from(sorted(LEVELS)), PHRASES)
@settings(max_examples=60)
def test_a_line_rests_outside_its_phrases_and_keeps_the_laws(
    key: str, number: int, level: int, phrases: tuple[Phrase, ...]
) -> None:
    spans = level_spans(key, places_of(key)[number], level)
    check_laws(spans, line(spans, phrases, "1"), phrases)


@given(st.sampled_from(DEFAULT_KEYS), st.integers(0, 4), st.sampled_from(sorted(LEVELS)), st.data())
@settings(max_examples=60)
def test_a_line_lands_where_it_has_to(key: str, number: int, level: int, data: st.DataObject) -> None:
    spans = tuple(
        replace(span, landing=frozenset({data.draw(st.sampled_from(sorted({note.midi % 12 for note in stable})))}))
        for span in level_spans(key, places_of(key)[number], level)
        for stable in [[note for note in span.candidates if note.tone in (Tone.GUIDE, Tone.STABLE)]]
    )
    found = line(spans, whole(spans), "1")
    check_laws(spans, found)
    eighths = eighths_of(spans)
    for number, span in enumerate(spans):
        first = next(note for note in found if note.onset == eighths.index(number))
        assert first.note.midi % 12 in (span.landing or ())


def test_a_line_that_cannot_land_where_it_has_to_is_refused() -> None:
    few = tuple(Candidate(midi, Place(1, midi - 45), 0, Tone.GUIDE) for midi in (50, 52, 53))
    for beats in (1, 2):
        spans = (Span(beats, few, frozenset({0})),)
        with pytest.raises(NeckError, match="no line moves"):
            line(spans, whole(spans), "1")


def test_every_chord_has_a_note_even_where_the_last_comes_after_the_last_strong_beat() -> None:
    first, last, _ = level_spans("F", places_of("F")[0], 1)
    for beats in (1, 2, 3, 4):
        spans = (replace(first, beats=beats), replace(last, beats=1))
        found = line(spans, whole(spans), "1")
        assert {note.span for note in found} == {0, 1}
        assert sum(note.length for note in found) == 2 * beats + 2


def guide_spans(key: str, region: Region, level: int) -> tuple[Span, ...]:
    return tuple(
        replace(span, candidates=tuple(note for note in span.candidates if note.tone is Tone.GUIDE))
        for span in level_spans(key, region, level)
    )


@given(st.sampled_from(DEFAULT_KEYS), st.integers(0, 4), st.sampled_from(sorted(LEVELS)), st.text(max_size=4))
def test_a_held_line_has_one_note_a_chord_each_the_nearest(key: str, number: int, level: int, seed: str) -> None:
    spans = guide_spans(key, places_of(key)[number], level)
    found = held_line(spans, seed)
    eighths = eighths_of(spans)
    assert [note.onset for note in found] == [eighths.index(number) for number in range(len(spans))]
    assert [note.length for note in found] == [2 * span.beats for span in spans]
    for before, after in itertools.pairwise(found):
        steps = [abs(note.midi - before.note.midi) for note in spans[after.span].candidates]
        assert abs(after.note.midi - before.note.midi) == min(steps)
        assert after.note in spans[after.span].candidates
    assert held_line(spans, seed) == found


def test_guide_tones_that_are_held_or_led_to_the_nearest_move_by_step() -> None:
    """From chord to chord of a cadence guide tones stay or move a step (common practice, no source)."""
    for key, number in itertools.product(DEFAULT_KEYS, range(5)):
        found = held_line(guide_spans(key, places_of(key)[number], 1), "1")
        assert all(abs(a - b) <= 2 for a, b in itertools.pairwise(midi_of(found)))


def test_held_lines_of_other_seeds_begin_elsewhere() -> None:
    spans = guide_spans("F", places_of("F")[0], 3)
    assert len({held_line(spans, str(seed)) for seed in range(20)}) > 1


def test_another_seed_gives_another_line() -> None:
    spans = level_spans("F", places_of("F")[0], 2)
    made = {tuple(midi_of(line(spans, whole(spans), str(seed)))) for seed in range(20)}
    assert len(made) == 20


@pytest.mark.parametrize("key", ["F", "B", "Db"])
def test_a_line_goes_through_a_whole_blues(key: str) -> None:
    form = parse_form("blues", Key.parse("F"), [SectionText("", BLUES)]).on(NamedTone.parse(key))
    for region in places_of(key):
        spans = tuple(span_of(chord.harmony, chord.chord.beats, region.index_fret) for chord in analyse(form))
        notes = line(spans, whole(spans), key)
        check_laws(spans, notes)
        assert sum(note.length for note in notes) == 12 * BAR


def test_a_line_takes_a_few_milliseconds() -> None:
    spans = level_spans("F", places_of("F")[0], 3)
    took = []
    for seed in range(20):
        began = time.thread_time()  # this thread's own time, whatever else the machine does
        line(spans, whole(spans), str(seed))
        took.append(time.thread_time() - began)
    assert min(took) < 0.01


TONES = st.sampled_from([Tone.GUIDE, Tone.GUIDE, Tone.STABLE, Tone.ARPEGGIO, Tone.APPROACH])
FEW = st.lists(
    st.tuples(st.integers(50, 60), TONES, st.integers(1, 3), st.sampled_from([0, 0, 1])),
    min_size=3,
    max_size=5,
    unique_by=lambda note: note[0],
)


@given(FEW, FEW, st.integers(0, 10**6))
@settings(max_examples=40, deadline=None)
def test_no_line_is_cheaper_than_the_one_found(
    first: list[tuple[int, Tone, int, int]], second: list[tuple[int, Tone, int, int]], seed: int
) -> None:
    spans = [
        Span(2, tuple(Candidate(midi, Place(string, 5), cost, tone) for midi, tone, string, cost in notes))
        for notes in (first, second)
    ]
    slots = [Slot(onset, 1, span) for onset, span in enumerate([0, 0, 0, 0, 1])]
    search = Search(spans, slots, random.Random(seed))
    every = itertools.product(range(len(search.pitches)), repeat=5)
    cheapest = min(_cost(search, indices) for indices in every)
    if cheapest < float("inf"):
        found = [search.pitches.index(note.midi) for note in search.best()]
        assert _cost(search, tuple(found)) == pytest.approx(cheapest)


def _cost(search: Search, indices: tuple[int, ...]) -> float:
    """Add up what a line costs from the tables, one note after the other."""
    total = sum(float(search.nodes[onset][index]) for onset, index in enumerate(indices))
    for onset, (before, after) in enumerate(itertools.pairwise(indices)):
        total += float(search.moves[search.slots[onset].span, search.slots[onset + 1].span][before, after])
    backs = [before == after for before, after in zip(indices, indices[2:], strict=False)]
    for back, (one, two, three) in zip(backs, zip(indices, indices[1:], indices[2:], strict=False), strict=True):
        total += BACK if back else float(search.turns[one, two, three])
    return float("inf") if any(itertools.starmap(lambda one, two: one and two, itertools.pairwise(backs))) else total


@pytest.mark.parametrize(
    ("spans", "message"),
    [
        ((), "a line needs chords with notes in reach"),
        ((Span(4, ()),), "a line needs chords with notes in reach"),
        ((Span(4, (Candidate(50, Place(1, 5), 0, Tone.GUIDE),)),), "no line moves by an octave or less"),
    ],
)
def test_changes_without_a_line_are_refused(spans: tuple[Span, ...], message: str) -> None:
    with pytest.raises(NeckError, match=message):
        line(spans, whole(spans), "1")


@pytest.mark.parametrize(
    ("spans", "message"),
    [
        ((), "a line needs chords with notes in reach"),
        ((Span(4, ()),), "a line needs chords with notes in reach"),
        (
            tuple(Span(4, (Candidate(midi, Place(1, midi - 45), 0, Tone.GUIDE),)) for midi in (50, 63)),
            "no line moves by an octave or less",
        ),
    ],
)
def test_changes_without_a_held_line_are_refused(spans: tuple[Span, ...], message: str) -> None:
    with pytest.raises(NeckError, match=message):
        held_line(spans, "1")


def test_a_line_that_cannot_differ_is_refused() -> None:
    few = tuple(Candidate(midi, Place(1, midi - 45), 0, Tone.GUIDE) for midi in (50, 52, 53))
    spans = (Span(5, few),)
    every = [line(spans, whole(spans), str(seed)) for seed in range(50)]
    with pytest.raises(NeckError, match="no line found that differs from the 50 others; choose another seed"):
        line(spans, whole(spans), "1", every)


def test_figures_of_less_than_a_bar_may_resemble_each_other() -> None:
    few = tuple(Candidate(midi, Place(1, midi - 45), 0, Tone.GUIDE) for midi in (50, 52, 53))
    spans = (Span(2, few),)
    every = [line(spans, whole(spans), str(seed)) for seed in range(50)]
    assert line(spans, whole(spans), "1", every) == every[1]
