"""The diary: what was said comes back, one entry a day, and a damaged file is never taken for one."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckbuilder.teaching.diary import MOST, DiaryError, Entry, class_of, diary_bytes, earlier, read_diary, with_entry

DAYS = st.dates().map(lambda day: day.isoformat())
ENTRIES = st.builds(
    Entry,
    day=DAYS,
    at=st.floats(0, 1e10),
    seen=st.integers(0, 2000),
    recalled=st.none() | st.floats(0, 1),
    spots=st.lists(st.text(max_size=20), max_size=3).map(tuple),
    tempo=st.integers(40, 240),
)


@given(st.dictionaries(st.text(max_size=20), st.lists(ENTRIES, max_size=4).map(tuple), max_size=3))
def test_what_is_written_is_read(diary: dict[str, tuple[Entry, ...]]) -> None:
    assert read_diary(diary_bytes(diary, "Tuesdays")) == diary
    assert class_of(diary_bytes(diary, "Tuesdays")) == "Tuesdays"


@given(st.lists(ENTRIES, max_size=8), ENTRIES)
def test_there_is_one_entry_a_day_and_the_earlier_one_is_of_a_day_before(entries: list[Entry], new: Entry) -> None:
    kept: tuple[Entry, ...] = ()
    for entry in [*entries, new]:
        kept = with_entry(kept, entry)
    days = [entry.day for entry in kept]
    assert days == sorted(set(days)) == sorted({entry.day for entry in (*entries, new)})
    assert new in kept
    before = earlier(kept, new.day)
    assert (before.day if before else None) == max((day for day in days if day < new.day), default=None)


def test_it_does_not_grow_without_end() -> None:
    kept: tuple[Entry, ...] = ()
    for day in range(100, 100 + MOST + 5):
        kept = with_entry(kept, Entry(str(day), 0.0, 0, None, (), 60))
    assert [entry.day for entry in kept] == [str(day) for day in range(105, 105 + MOST)]


def entries(**odd: object) -> bytes:
    fields = {"day": "2024-03-24", "at": 1.0, "seen": 1, "recalled": 0.5, "spots": [], "tempo": 60} | odd
    return json.dumps({"generator": "deckbuilder", "version": 1, "students": {"A": [fields]}}).encode()


def test_an_entry_is_read() -> None:
    assert read_diary(entries())["A"][0].tempo == 60


@pytest.mark.parametrize(
    "said",
    [
        b"",
        b"\xff",
        b"[]",
        b"[" * 100_000,
        json.dumps({"generator": "deckbuilder", "version": 1, "students": {"A": [{"day": "x"}]}}).encode(),
        json.dumps({"generator": "deckbuilder", "version": 2, "students": {}}).encode(),
        json.dumps({"generator": "somebody", "version": 1, "students": {}}).encode(),
        entries(seen=float("inf")),
        entries(at=float("nan")),
        entries(recalled=float("inf")),
        entries(tempo=0),
        entries(tempo=10**6),
        entries(spots=["\ud800"]),
    ],
)
def test_what_is_none_is_refused(said: bytes) -> None:
    with pytest.raises(DiaryError):
        read_diary(said)
