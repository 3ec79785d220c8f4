"""Media that fields name are found in every form that apps look for."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.deck.references import references


@pytest.mark.parametrize(
    ("field", "named"),
    [
        ("[sound:a.mp3] and [sound:b.mp3]", ["a.mp3", "b.mp3"]),
        ("[sound:][sound:a.mp3", []),
        ("[sound:[sound:a.mp3]", ["[sound:a.mp3"]),
        ('<img class="x" alt="a &gt; b" src="a.png">', ["a.png"]),
        ("<IMG SRC = 'a.png'><img\nsrc=b.png/>", ["a.png", "b.png/"]),
        ('<img alt="src=b.png > c" src="a&amp;b.png">', ["a&b.png"]),
        ('<image src="a.png"><img data-src="b.png"><img src="">', []),
        ('<img src="a.png" <img src="b.png">', ["a.png", "b.png"]),
        ('<img alt="never closed src=a.png>', []),
    ],
)
def test_names_are_found(field: str, named: list[str]) -> None:
    assert list(references(field)) == named


NAMES = st.text(st.characters(categories=("L", "N")), min_size=1)


@given(st.lists(st.tuples(NAMES, st.sampled_from(('<img alt="" src="{}">', "<img src='{}'>", "[sound:{}]")))), NAMES)
def test_what_is_written_is_found(media: list[tuple[str, str]], between: str) -> None:
    field = between.join(form.format(name) for name, form in media)
    assert sorted(references(field)) == sorted(name for name, _ in media)
