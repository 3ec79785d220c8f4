"""The report: one file, everything escaped, every figure there."""

import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest

from deckbuilder.progress import words
from deckbuilder.progress.analysis import Analysis, analyse
from deckbuilder.progress.heatmap import heat_map
from deckbuilder.progress.report import report_html
from deckbuilder.progress.terminal import lines
from deckbuilder.progress.trend import trend
from tests.policy import assert_nothing_foreign, policy_of
from tests.progress.learner import Axes, history_of, studied


def page_of(analysis: Analysis) -> str:
    maps = {level: heat_map(level, analysis.cells) for level in analysis.levels}
    return report_html(analysis, maps, trend(analysis.study))


@pytest.fixture(scope="module")
def page(analysis: Analysis) -> str:
    return page_of(analysis)


class Outline(HTMLParser):
    """Collects tags, attributes and unclosed elements."""

    VOID = frozenset({"meta", "img", "br"})

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def test_it_is_one_whole_file_that_asks_for_nothing(page: str) -> None:
    outline = Outline()
    outline.feed(page)
    assert outline.open == []
    assert not {"script", "link", "iframe"} & {tag for tag, _ in outline.tags}
    images = [attributes for tag, attributes in outline.tags if tag == "img"]
    assert len(images) == 4
    for image in images:
        assert (image["src"] or "").startswith("data:image/png;base64,")
        assert image["alt"]
    assert "//" not in re.sub(r"data:image/png;base64,[^\"]+", "", page)


def test_its_policy_lets_it_run_nothing_and_ask_for_nothing(page: str) -> None:
    policy = policy_of(page)
    assert_nothing_foreign(policy)
    assert "script-src" not in policy
    assert policy["img-src"] == {"data:"}


def test_it_names_the_weak_cells_what_they_share_and_what_figures_mean(page: str, analysis: Analysis) -> None:
    for name in words.named(analysis, analysis.weak[:10]):
        assert name.rpartition(" · ")[0] in page
    for pattern in analysis.patterns:
        assert pattern.words in page
    for column in words.COLUMNS:
        assert f"<dt>{column}</dt>" in page
    assert page.count("<li><div>") == min(len(analysis.weak), 10)


def test_the_terminal_tells_the_same(analysis: Analysis) -> None:
    told = "\n".join(lines(analysis))
    assert told.index("Weakest first") < told.index("In common: ") < told.index("All")
    for name in words.named(analysis, analysis.weak[:10]):
        assert name in told


def test_hostile_words_are_escaped(analysis: Analysis) -> None:
    history = replace(analysis.history, tuning="<script>alert(1)</script>")
    page = page_of(replace(analysis, study=replace(analysis.study, history=history)))
    assert "<script>" not in page


def test_a_short_history_says_that_it_is_too_short() -> None:
    notes = studied(lambda _axes, _kind: 0.5, 1, days=3, first_days=2)[:8]
    short = analyse(history_of(notes, 3))
    assert short.weak == ()
    told = "\n".join(lines(short))
    assert "Not enough yet to tell" in told
    assert "No check-up yet: it takes 100 answers, and there are 14." in told
    assert "Weakest first" not in told
    assert "Weakest first" not in page_of(short)


def test_not_enough_yet_never_stands_beside_a_finding() -> None:
    """Many keys and regions of a few recalls each can be judged together where none can by itself."""

    def weak_third(axes: Axes, _kind: str) -> float:
        return 0.4 if axes["source"] == "third" else 0.95

    found = analyse(history_of(studied(weak_third, 1, days=3, first_days=2), 3))
    assert found.judged == 0
    assert [pattern.words for pattern in found.patterns] == ["arpeggios from the third everywhere"]
    told = "\n".join(lines(found))
    assert "In common" in told
    assert "Not enough yet" not in told
    assert "Not enough yet" not in page_of(found)


def test_low_recall_and_a_high_chance_today_are_told_apart(analysis: Analysis) -> None:
    worst = analysis.weak[0]
    cells = {**analysis.cells, worst: replace(analysis.cells[worst], recalled=38, recalls=100, recall=0.92)}
    told = replace(analysis, cells=cells)
    sentence = words.relearned(told)
    assert "Recalled 38%" in sentence
    assert "today 92%" in sentence
    assert sentence in "\n".join(lines(told))
    assert sentence in page_of(told)
    level = replace(analysis, weak=())
    assert words.relearned(level) == ""


def test_a_history_without_places_can_be_told(analysis: Analysis) -> None:
    spellings = tuple(card for card in analysis.history.cards if "region" not in card.axes)
    found = analyse(replace(analysis.history, cards=spellings))
    assert found.cells == {}
    assert "no places are compared" in words.verdict(found)
    assert page_of(found)
