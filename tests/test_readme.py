"""What is written about the project: README stays short, and nothing points to what is not there."""

import re
from pathlib import Path

import pytest

HERE = Path(__file__).parent.parent
PAGES = [HERE / name for name in ("README.md", "DEVELOPERS.md", "decks/README.md", "tests/bench/README.md")]
FILE = re.compile(r"`((?:\w+/)+[\w.]+\.(?:py|html|md|json|toml))`")
"""A file as these pages name it, from the top or from the package."""
LONGEST = 150
"""Lines of README: it is for the guitarist; reference has pages of its own."""


def anchors(page: Path) -> set[str]:
    """Headings as pages link to them: lower case, spaces as hyphens, other signs dropped."""
    heads = re.findall(r"^#+ (.+)$", page.read_text(encoding="utf-8"), re.M)
    return {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-") for head in heads}


def test_readme_is_short() -> None:
    assert len((HERE / "README.md").read_text(encoding="utf-8").splitlines()) <= LONGEST


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(HERE)))
def test_every_link_leads_somewhere(page: Path) -> None:
    links = re.findall(r"\]\(([^)]+)\)", page.read_text(encoding="utf-8"))
    assert links
    for link in links:
        path, _, anchor = link.partition("#")
        target = (page.parent / path).resolve() if path else page
        assert target.exists(), link
        assert not anchor or anchor in anchors(target), link


def test_every_file_that_contributors_are_sent_to_is_there() -> None:
    named = set(FILE.findall((HERE / "DEVELOPERS.md").read_text(encoding="utf-8")))
    assert len(named) > 50
    assert not {name for name in named if not any((top / name).exists() for top in (HERE, HERE / "deckbuilder"))}
