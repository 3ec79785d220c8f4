"""Unfinished files: what is put in place is whole, and what was there before is lost only to what takes its place."""

from collections.abc import Callable
from pathlib import Path

import pytest

from deckbuilder.deck.unfinished import PREFIX, finished_folder, finished_together, left_as_it_was, meant, sweep


def left_over(folder: Path) -> list[Path]:
    return list(folder.rglob(f"{PREFIX}*"))


def tree(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_a_folder_takes_the_place_of_an_earlier_one(tmp_path: Path) -> None:
    for word in (b"one", b"two"):
        with finished_folder(tmp_path / "folder") as unfinished:
            (unfinished / word.decode()).write_bytes(word)
    assert tree(tmp_path) == {"folder/two": b"two"}
    assert left_over(tmp_path) == []


@pytest.mark.parametrize("linked", [False, True])
def test_a_folder_never_takes_the_place_of_a_file(tmp_path: Path, linked: bool) -> None:
    file, target = tmp_path / "file", tmp_path / "target"
    (file if linked else target).write_bytes(b"mine")
    if linked:
        target.symlink_to(file)
    with pytest.raises(NotADirectoryError), finished_folder(target):
        pass
    assert target.read_bytes() == b"mine"
    assert left_over(tmp_path) == []


def test_errors_call_a_file_what_it_is_to_be(tmp_path: Path) -> None:
    target = tmp_path / "my-deck-2.apkg"
    with finished_together([target]) as (unfinished,):
        unfinished.touch()
        assert unfinished != target
        assert meant(unfinished) == target
    assert meant(target) == target
    assert meant(tmp_path / PREFIX) == tmp_path / PREFIX


def write(paths: list[Path], word: bytes) -> None:
    for path in paths:
        path.write_bytes(word)


def test_files_are_put_in_place_together(tmp_path: Path) -> None:
    targets = [tmp_path / "a", tmp_path / "b"]
    for word in (b"one", b"two"):
        with finished_together(targets) as unfinished:
            write(unfinished, word)
        assert tree(tmp_path) == {"a": word, "b": word}


def stop_after(work: Callable[[], None]) -> None:
    work()
    raise KeyboardInterrupt


@pytest.mark.parametrize("earlier", [("a",), ("b",), ("a", "b"), ()])
def test_files_of_which_one_cannot_be_placed_are_all_as_before(tmp_path: Path, earlier: tuple[str, ...]) -> None:
    for name in earlier:
        (tmp_path / name).write_bytes(b"earlier")
    (tmp_path / "c" / "mine").mkdir(parents=True)
    before = tree(tmp_path)
    with pytest.raises(IsADirectoryError), finished_together([tmp_path / name for name in "abc"]) as unfinished:
        write(unfinished, b"new")
    assert tree(tmp_path) == before
    assert (tmp_path / "c" / "mine").is_dir()
    assert left_over(tmp_path) == []


@pytest.mark.parametrize("written", [0, 1, 2])
def test_files_of_which_some_were_not_written_are_all_as_before(tmp_path: Path, written: int) -> None:
    targets = [tmp_path / "a", tmp_path / "b"]
    targets[1].write_bytes(b"earlier")
    with pytest.raises(KeyboardInterrupt), finished_together(targets) as unfinished:
        stop_after(lambda: write(unfinished[:written], b"new"))
    assert tree(tmp_path) == {"b": b"earlier"}
    with pytest.raises(FileNotFoundError), finished_together(targets) as unfinished:
        write(unfinished[: min(written, 1)], b"new")
    assert tree(tmp_path) == {"b": b"earlier"}
    assert left_over(tmp_path) == []


def make(file: Path) -> None:
    file.parent.mkdir(parents=True)
    file.write_bytes(b"mine")


def test_folders_of_a_failure_go_only_where_they_are_new_and_empty(tmp_path: Path) -> None:
    there = tmp_path / "there"
    there.mkdir()
    with pytest.raises(KeyboardInterrupt), left_as_it_was(there / "new" / "newer"):
        stop_after(lambda: (there / "new" / "newer").mkdir(parents=True))
    assert list(tmp_path.rglob("*")) == [there]
    with pytest.raises(KeyboardInterrupt), left_as_it_was(there / "new" / "newer"):
        stop_after(lambda: make(there / "new" / "mine"))
    assert tree(there) == {"new/mine": b"mine"}
    with left_as_it_was(there / "kept"):
        (there / "kept").mkdir()
    assert (there / "kept").is_dir()


class Killed(BaseException):
    """Stands for the end of the process: nothing is cleaned up after it."""


def kill_at(monkeypatch: pytest.MonkeyPatch, first: int) -> None:
    """Let the process end at a renaming, and all that it would still do have no effect."""
    rename, done = Path.rename, 0

    def rename_or_end(self: Path, target: Path) -> Path:
        nonlocal done
        done += 1
        if done < first:
            return rename(self, target)
        for name in ("rename", "replace", "unlink"):
            monkeypatch.setattr(Path, name, lambda self, *_arguments, **_options: self)
        monkeypatch.setattr("shutil.rmtree", lambda *_arguments, **_options: None)
        raise Killed

    monkeypatch.setattr(Path, "rename", rename_or_end)


def end_the_writer(folder: Path) -> None:
    """Rename what is unfinished as if a process that no longer runs had written it."""
    for path in folder.glob(f"{PREFIX}*"):
        machine, _, rest = path.name.removeprefix(PREFIX).partition("-")
        path.rename(path.with_name(f"{PREFIX}{machine}-4194304-{rest.partition('-')[2]}"))


@pytest.mark.parametrize("moment", range(1, 6))
def test_a_kill_between_two_renames_loses_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, moment: int) -> None:
    """Two files are replaced and a third goes: five renames."""
    targets = [tmp_path / "a", tmp_path / "b"]
    write([*targets, tmp_path / "stale"], b"earlier")
    before = tree(tmp_path)
    with monkeypatch.context() as patched:
        kill_at(patched, moment)
        with pytest.raises(Killed), finished_together(targets, [tmp_path / "stale"]) as unfinished:
            write(unfinished, b"new")
    assert left_over(tmp_path)
    sweep(tmp_path)
    assert left_over(tmp_path), "what a running process has in hand is left alone"
    end_the_writer(tmp_path)
    sweep(tmp_path)
    assert tree(tmp_path) == before


def test_a_kill_after_the_last_rename_leaves_what_is_new(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    targets = [tmp_path / "a", tmp_path / "b"]
    write([*targets, tmp_path / "stale"], b"earlier")
    with monkeypatch.context() as patched:
        patched.setattr(Path, "unlink", lambda _self, **_options: None)
        with finished_together(targets, [tmp_path / "stale"]) as unfinished:
            write(unfinished, b"new")
    assert len(left_over(tmp_path)) == 3
    end_the_writer(tmp_path)
    sweep(tmp_path)
    assert tree(tmp_path) == {"a": b"new", "b": b"new"}


@pytest.mark.parametrize("moment", [1, 2])
def test_a_kill_while_a_folder_is_replaced_leaves_the_earlier_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, moment: int
) -> None:
    (tmp_path / "folder").mkdir()
    (tmp_path / "folder" / "mine").write_bytes(b"earlier")
    with monkeypatch.context() as patched:
        kill_at(patched, moment)
        with pytest.raises(Killed), finished_folder(tmp_path / "folder") as unfinished:
            (unfinished / "new").write_bytes(b"new")
    assert (tmp_path / "folder").exists() == (moment == 1)
    end_the_writer(tmp_path)
    sweep(tmp_path)
    assert tree(tmp_path) == {"folder/mine": b"earlier"}
