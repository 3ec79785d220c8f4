"""The names that a program has: the snippet of the reference runs, and importing the package loads next to nothing."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

import deckbuilder

REFERENCE = Path(__file__).parents[1] / "decks" / "README.md"


def test_the_snippet_of_the_reference_runs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    text = REFERENCE.read_text(encoding="utf-8")
    (snippet,) = re.findall(r"^## From Python\n\n```python\n(.*?)```", text, re.M | re.S)
    monkeypatch.chdir(tmp_path)
    exec(compile(snippet, "decks/README.md", "exec"), {})
    said = capsys.readouterr().out.splitlines()
    assert "F · region 5 (X) · ii · arpeggio from the root Gm7" in said
    assert re.fullmatch(r"\d+ cards in f\.apkg f-tables", said[-1])
    assert (tmp_path / "f-tables" / "cards.csv").is_file()


def test_every_public_name_is_there() -> None:
    for name in deckbuilder.__all__:
        assert getattr(deckbuilder, name) is not None
    with pytest.raises(AttributeError, match="no attribute 'builder'"):
        _ = deckbuilder.builder


def test_importing_loads_nothing_large() -> None:
    program = "import sys, deckbuilder; print([name for name in sys.modules if name.startswith('deckbuilder.')])"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"
