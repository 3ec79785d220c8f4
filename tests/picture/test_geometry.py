"""Laws of the layout: true fret spacing, mirror, nothing outside the picture, nothing on top of another."""

from dataclasses import replace
from itertools import combinations, pairwise

import pytest
from hypothesis import given

from deckbuilder.picture import style
from deckbuilder.picture.description import Mark, NeckPicture, Role
from deckbuilder.picture.geometry import PictureError, fret_place, lay_out, sprite_side
from deckbuilder.picture.sizes import MARK_SIZES
from tests.picture.boxes import mark_box, overlap

from .windows import pictures, windows

SEMITONE = 2 ** (-1 / 12)


@given(windows())
def test_each_fret_is_a_semitone_narrower_than_the_one_before(window: NeckPicture) -> None:
    columns = lay_out(window).columns
    widths = [right - left for fret, (left, right) in sorted(columns.items()) if fret > 0]
    for wider, narrower in pairwise(widths):
        assert narrower / wider == pytest.approx(SEMITONE, rel=1e-9)


def test_the_octave_is_half_way_and_two_octaves_three_quarters() -> None:
    assert [fret_place(n) for n in (0, 12, 24)] == pytest.approx([0, 0.5, 0.75])


@given(windows())
def test_left_handed_is_the_mirror_image(window: NeckPicture) -> None:
    right = lay_out(replace(window, left_handed=False))
    left = lay_out(replace(window, left_handed=True))
    assert left.columns.keys() == right.columns.keys()
    for fret in right.columns:
        for string in range(1, window.strings + 1):
            x, y = right.centre(string, fret)
            assert left.centre(string, fret) == pytest.approx((style.WIDTH - x, y))
    assert left.name_x == style.WIDTH - right.name_x
    assert left.board == right.board.mirrored()


@given(windows())
def test_low_string_at_the_bottom_unless_turned_over_and_nut_side_left(window: NeckPicture) -> None:
    layout = lay_out(replace(window, left_handed=False))
    assert list(layout.strings) == sorted(layout.strings, reverse=window.turned_over)
    middles = [layout.centre(1, fret)[0] for fret in sorted(layout.columns)]
    assert middles == sorted(middles)
    if layout.columns.keys() >= {0, 1}:
        assert layout.columns[0][1] + style.NUT <= layout.columns[1][0]


@given(pictures())
def test_marks_lie_inside_the_picture_and_clear_of_text(picture: NeckPicture) -> None:
    layout = lay_out(replace(picture, marks=()))
    half_name = layout.size.name_column / 2
    for mark in picture.marks:
        box = mark_box(mark, layout)
        assert box.left >= 0
        assert box.right <= layout.width
        assert box.top >= layout.board.top - 0.5
        assert box.bottom <= layout.board.bottom + 0.5
        x, y = layout.centre(mark.string, mark.fret)
        half = sprite_side(layout.size) / 2
        assert half <= x <= layout.width - half
        assert half <= y <= layout.height - half
        if picture.string_names:
            away = abs(x - layout.name_x) - box.width / 2
            assert away >= half_name - 4


@given(pictures())
def test_no_two_marks_overlap(picture: NeckPicture) -> None:
    layout = lay_out(replace(picture, marks=()))
    boxes = [mark_box(mark, layout) for mark in picture.marks]
    assert not any(overlap(a, b) for a, b in combinations(boxes, 2))


@given(windows())
def test_hand_span_is_its_frets_or_up_to_the_edge_of_the_window(window: NeckPicture) -> None:
    layout = lay_out(window)
    if window.index_fret is None:
        assert layout.hand_span is None
        return
    span = layout.hand_span
    first = max(window.index_fret, window.capo + 1)
    wanted = set(range(first, min(first + window.hand_span - 1, window.last_fret) + 1))
    if span is None:
        assert not wanted
        return
    covered = {
        fret
        for fret, (left, right) in layout.columns.items()
        if fret > 0 and span.left - 1e-6 <= left and right <= span.right + 1e-6
    }
    assert covered == wanted


def test_a_region_takes_the_largest_marks_and_the_whole_neck_the_smallest() -> None:
    region = lay_out(NeckPicture(6, 8, 13, 9, (), ("E", "B", "G", "D", "A", "E")))
    whole = lay_out(NeckPicture(6, 0, 12, None, (), ("E", "B", "G", "D", "A", "E")))
    assert region.size is MARK_SIZES[0]
    assert whole.size is MARK_SIZES[-1]


def test_a_window_too_long_to_read_is_refused() -> None:
    with pytest.raises(PictureError, match=r"frets 0 to 20 .* twelve frets or fewer"):
        lay_out(NeckPicture(6, 0, 20, None, ()))


def test_marks_with_a_capo_start_on_its_bar() -> None:
    layout = lay_out(NeckPicture(6, 0, 5, None, (), capo=2))
    assert 0 not in layout.columns
    assert layout.capo is not None
    box = mark_box(Mark(1, 2, Role.TONE), layout)
    assert (box.left + box.right) / 2 == pytest.approx((layout.capo.left + layout.capo.right) / 2)
