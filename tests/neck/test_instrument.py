"""Laws of instruments: a capo moves everything, a short neck keeps every hand, odd tunings hold or are refused."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deckbuilder.neck.fingering import fingering
from deckbuilder.neck.hand import FINGERS
from deckbuilder.neck.instrument import Instrument
from deckbuilder.neck.regions import NARROWEST_COMPASS, regions
from deckbuilder.neck.tuning import TUNINGS, NeckError, Tuning
from deckbuilder.theory.arpeggios import Source, arpeggio
from deckbuilder.theory.keys import KEY_NAMES, Key
from tests.theory.harmonies import CHORDS, chord_in, keys, sources

from .necks import STANDARD, any_tunings, scales_of

known = st.sampled_from(tuple(TUNINGS.values()))


@st.composite
def instruments(draw: st.DrawFn, tunings: st.SearchStrategy[Tuning] = known) -> Instrument:
    frets = draw(st.integers(12, 36))
    return Instrument(draw(tunings), frets, draw(st.integers(0, frets - 12)))


@given(instruments(), keys(), st.integers(3, 5))
def test_a_capo_gives_the_raised_instrument_moved_up(instrument: Instrument, name: str, count: int) -> None:
    capo, raised = instrument.capo, Instrument(instrument.sounding, instrument.frets - instrument.capo)
    tonic = Key.parse(name).tonic.pitch_class
    for here, there in zip(instrument.regions(tonic, count), raised.regions(tonic, count), strict=True):
        assert (here.number, here.index_fret, here.capo) == (there.number, there.index_fret + capo, capo)
        for scale in scales_of(name):
            moved = instrument.fingering(scale.pitch_classes, here.index_fret)
            plain = raised.fingering(scale.pitch_classes, there.index_fret)
            assert (moved.index_fret, moved.missing) == (here.index_fret, plain.missing)
            assert [(n.midi, n.place.string, n.place.fret, n.finger, n.cost) for n in moved.notes] == [
                (n.midi, n.place.string, n.place.fret + capo, n.finger, n.cost) for n in plain.notes
            ]


@given(instruments(), keys(), st.integers(3, 5))
def test_frets_count_from_the_nut_so_places_give_pitches(instrument: Instrument, name: str, count: int) -> None:
    key = Key.parse(name)
    for region in instrument.regions(key.tonic.pitch_class, count):
        assert instrument.capo <= region.index_fret <= instrument.frets - FINGERS + 1
        for note in instrument.fingering(key.scale.pitch_classes, region.index_fret).notes:
            assert instrument.tuning.midi(note.place) == note.midi
            assert instrument.capo <= note.place.fret <= instrument.frets
            assert (note.finger == 0) == (note.place.fret == instrument.capo)


@given(known, keys(), st.integers(14, 36))
def test_without_a_capo_it_is_the_bare_tuning(tuning: Tuning, name: str, frets: int) -> None:
    key, instrument = Key.parse(name), Instrument(tuning, frets)
    assert instrument.sounding is tuning
    found = regions(tuning, key.tonic.pitch_class, frets=frets)
    assert instrument.regions(key.tonic.pitch_class) == found
    for region in found:
        fingered = instrument.fingering(key.scale.pitch_classes, region.index_fret)
        assert fingered == fingering(tuning, key.scale.pitch_classes, region.index_fret, frets=frets)


def test_capo_two_in_g_has_the_shapes_of_f() -> None:
    """Common practice: with a capo at the second fret an F shape sounds G."""
    f, g = Key.parse("F"), Key.parse("G")
    bare, capoed = Instrument(STANDARD), Instrument(STANDARD, capo=2)
    for one, two in zip(bare.regions(f.tonic.pitch_class), capoed.regions(g.tonic.pitch_class), strict=True):
        assert two.index_fret == one.index_fret + 2
        low = bare.fingering(f.scale.pitch_classes, one.index_fret).notes
        high = capoed.fingering(g.scale.pitch_classes, two.index_fret).notes
        assert [(n.place.fret + 2, n.finger) for n in low] == [(n.place.fret, n.finger) for n in high]
    assert capoed.regions(g.tonic.pitch_class)[0].position == "open"


def test_close_position_moves_with_the_capo() -> None:
    g7 = (7, 11, 2, 5)
    found = Instrument(STANDARD, capo=3).close_position(g7)
    assert found.index_fret == 3
    assert [(note.midi, note.place.string, note.place.fret, note.finger) for note in found.notes] == [
        (43, 6, 3, 0),
        (47, 6, 7, 4),
        (50, 5, 5, 2),
        (53, 4, 3, 0),
    ]


@pytest.mark.parametrize("name", TUNINGS)
def test_a_common_instrument_in_every_tuning_reaches_every_tone(name: str) -> None:
    instrument = Instrument(TUNINGS[name], TUNINGS[name].usual_frets)
    for key_name in KEY_NAMES:
        for region in instrument.regions(Key.parse(key_name).tonic.pitch_class):
            for scale in scales_of(key_name):
                found = instrument.fingering(scale.pitch_classes, region.index_fret)
                assert found.missing == ()
                assert {note.midi % 12 for note in found.notes} == scale.pitch_classes


@settings(deadline=None, max_examples=300)
@given(instruments(any_tunings()), keys(), st.integers(3, 7), st.sampled_from(CHORDS), sources())
def test_any_tuning_holds_every_law_or_is_refused_once(
    instrument: Instrument, name: str, count: int, chord: tuple[str, str | None], source: Source
) -> None:
    key, tuning, harmony = Key.parse(name), instrument.tuning, chord_in(name, *chord)
    room = instrument.frets - instrument.capo
    narrow = max(tuning.open_midi) - min(tuning.open_midi) < NARROWEST_COMPASS
    if narrow:
        with pytest.raises(NeckError, match="less than an octave"):
            instrument.regions(key.tonic.pitch_class, count)
        return
    try:
        found = instrument.regions(key.tonic.pitch_class, count)
    except NeckError as error:
        short = f"12 frets have no room for {count} regions; choose 3 to 5"
        if str(error) != short or (room, count) not in {(12, 6), (12, 7)}:
            raise
        return
    tones = arpeggio(harmony, source).chord.pitch_classes
    assert [region.number for region in found] == list(range(1, count + 1))
    assert {(region.index_fret + finger) % 12 for region in found for finger in range(FINGERS)} == set(range(12))
    for region in found:
        fingered = instrument.fingering(harmony.scale.pitch_classes, region.index_fret)
        midi = [note.midi for note in fingered.notes]
        assert midi == sorted(set(midi))
        assert [tuning.midi(note.place) for note in fingered.notes] == midi
        assert all(instrument.capo <= note.place.fret <= instrument.frets for note in fingered.notes)
        # Every tone of the scale is played in some octave or named as out of reach.
        assert {pitch % 12 for pitch in (*midi, *fingered.missing)} == harmony.scale.pitch_classes
        assert fingered.run(tones)


@pytest.mark.parametrize(
    ("frets", "capo", "message"),
    [
        (0, 0, "0 frets; a neck here has 12 to 36"),
        (11, 0, "11 frets; a neck here has 12 to 36"),
        (37, 0, "37 frets; a neck here has 12 to 36"),
        (22, -1, "capo at fret -1 of 22: give 0 for none or a fret up to 10"),
        (22, 11, "capo at fret 11 of 22: give 0 for none or a fret up to 10"),
        (22, 30, "capo at fret 30 of 22"),
        (12, 1, "capo at fret 1 of 12: give 0 for none or a fret up to 0"),
    ],
)
def test_a_neck_that_cannot_be_played_is_refused(frets: int, capo: int, message: str) -> None:
    with pytest.raises(NeckError, match=message):
        Instrument(STANDARD, frets, capo)
