"""Hypothesis strategies: windows of a neck and marks on them, all of them drawable."""

from dataclasses import replace

from hypothesis import strategies as st

from deckbuilder.picture.description import Ground, Mark, NeckPicture, Role, Size

LABELS = ("", "1", "3", "♭7", "♯9", "♭13", "B♭", "F♯")


@st.composite
def windows(draw: st.DrawFn) -> NeckPicture:
    strings = draw(st.integers(3, 10))
    first = draw(st.integers(0, 15))
    last = draw(st.integers(max(first, 1), max(first, 1) + 11))
    capo = draw(st.integers(0, min(last, 4)))
    return NeckPicture(
        strings=strings,
        first_fret=first,
        last_fret=last,
        index_fret=draw(st.none() | st.integers(max(first, capo), last)),
        marks=(),
        string_names=draw(st.sampled_from([(), ("E♭",) * strings])),
        left_handed=draw(st.booleans()),
        capo=capo,
        hand_span=draw(st.integers(1, 9)),
        ground=draw(st.sampled_from(Ground)),
        size=draw(st.sampled_from(Size)),
        turned_over=draw(st.booleans()),
    )


@st.composite
def pictures(draw: st.DrawFn) -> NeckPicture:
    """Draw a window with marks, no two roots a semitone apart on one string (they would be one note)."""
    window = draw(windows())
    lowest = max(window.first_fret, window.capo)
    places = draw(
        st.sets(st.tuples(st.integers(1, window.strings), st.integers(lowest, window.last_fret)), max_size=24)
    )
    roots = {place for place in places if draw(st.booleans())}
    roots -= {(string, fret + 1) for string, fret in roots}
    marks = [
        Mark(
            string,
            fret,
            draw(st.sampled_from(Role)),
            draw(st.sampled_from(LABELS)),
            (string, fret) in roots,
        )
        for string, fret in places
    ]
    return replace(window, marks=tuple(marks))
