"""What a terminal would obey or not show is written out; everything else stays."""

import json
import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.printable import printable

ANYTHING = st.text(st.characters(codec=None))


def test_what_a_terminal_obeys_is_written_out() -> None:
    assert printable("\x1b[2J\x9b1m\x07\x7f") == r"\u001b[2J\u009b1m\u0007\u007f"
    assert printable("one\r\ntwo\tthree\u2028four\x85") == r"one\r\ntwo\tthree\u2028four\u0085"
    assert printable("gpka\u202egnp.\u2066\u200f\ufeff\u200b") == r"gpka\u202egnp.\u2066\u200f\ufeff\u200b"
    assert printable("\udcff\ue000\U000e0001") == r"\udcff\ue000\udb40\udc01"


def test_what_people_write_stays() -> None:
    for text in ("G♭ · région 3 – “dort”", "Блюз", "音階", "می‌خواهم", "👩‍🎤 ∆7", "naïve\u00a0tone", r"C:\decks\n", ""):
        assert printable(text) == text


@given(ANYTHING)
def test_nothing_hidden_is_left(text: str) -> None:
    shown = printable(text)
    assert not {unicodedata.category(sign) for sign in shown} & {"Cc", "Cs", "Co", "Zl", "Zp"}
    assert {sign for sign in shown if unicodedata.category(sign) == "Cf"} <= {"\u200c", "\u200d"}
    assert printable(shown) == shown
    shown.encode()


@given(st.recursive(ANYTHING, lambda inner: st.lists(inner) | st.dictionaries(ANYTHING, inner), max_leaves=5))
def test_a_line_of_json_stays_the_same_json(value: object) -> None:
    line = printable(json.dumps(value, ensure_ascii=False))
    assert json.loads(line) == json.loads(json.dumps(value))
    assert "\n" not in line


@given(ANYTHING, st.integers(10, 60))
def test_a_cut_text_keeps_both_ends(text: str, longest: int) -> None:
    shown = printable(text, longest)
    assert len(shown) <= longest
    if len(printable(text)) <= longest:
        assert shown == printable(text)
    else:
        begin, gap, end = shown.rpartition(" … ")
        assert gap
        assert printable(text).startswith(begin)
        assert printable(text).endswith(end)
