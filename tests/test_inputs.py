"""Files that a user names are opened where they are plain files; else one sentence says why not."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from deckbuilder.inputs import InputError, opened_input, read_input

REMEDY = "name another"


def test_a_plain_file_and_a_link_to_one_are_read(tmp_path: Path) -> None:
    file, link = tmp_path / "file", tmp_path / "link"
    file.write_bytes(b"words")
    link.symlink_to(file)
    assert read_input(file, 5, REMEDY) == read_input(link, 100, REMEDY) == b"words"
    with opened_input(link, REMEDY) as opened:
        assert opened.read() == b"words"


def test_no_more_is_read_than_is_allowed(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(bytes(6))
    with pytest.raises(InputError, match="larger than 5 bytes; name another"):
        read_input(tmp_path / "file", 5, REMEDY)


def _pipe(folder: Path) -> Path:
    os.mkfifo(folder / "pipe")
    return folder / "pipe"


def _loop(folder: Path) -> Path:
    (folder / "loop").symlink_to(folder / "loop")
    return folder / "loop"


def _under_a_file(folder: Path) -> Path:
    (folder / "file").touch()
    return folder / "file" / "deck"


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda folder: folder, "this is a folder, not a plain file"),
        (lambda folder: folder / "none", "there is no such file"),
        (_pipe, "this is a pipe or a device, not a plain file"),
        (lambda _folder: Path("/dev/zero"), "this is a pipe or a device, not a plain file"),
        (_under_a_file, "cannot be read (Not a directory)"),
        (_loop, "cannot be read (Too many levels of symbolic links)"),
        (lambda folder: folder / ("x" * 5000), "cannot be read (File name too long)"),
        (lambda folder: folder / "a\0b", "no file can have this name"),
    ],
)
def test_what_is_no_plain_file_is_told(tmp_path: Path, make: Callable[[Path], Path], said: str) -> None:
    path = make(tmp_path)
    with pytest.raises(InputError) as told:
        opened_input(path, REMEDY)
    (line,) = told.value.lines
    assert line.startswith(f"{path}: {said}")
    assert line.endswith(f"; {REMEDY}")


def test_a_file_without_the_right_to_read_it_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Who runs as root may read everything, so the system's answer is put in."""

    def denied(*_arguments: object) -> None:
        raise PermissionError(13, "Permission denied")

    (tmp_path / "file").touch()
    monkeypatch.setattr(Path, "open", denied)
    with pytest.raises(InputError, match="Permission denied"):
        opened_input(tmp_path / "file", REMEDY)
    monkeypatch.setattr(Path, "stat", denied)
    with pytest.raises(InputError, match="Permission denied"):
        opened_input(tmp_path / "file", REMEDY)
