"""What the matrix tries."""

import sys
import tomllib

from tests.matrix import CORE, HERE, MINORS, found_pythons, lowest_versions


def test_every_bound_of_a_dependency_is_tried() -> None:
    project = tomllib.loads((HERE / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    bounded = [asked for asked in project["dependencies"] if ">=" in asked.partition(";")[0]]
    assert [pin.replace("==", ">=") for pin in lowest_versions()] == [asked.partition(",")[0] for asked in bounded]
    assert project["requires-python"] == f">=3.{MINORS[0]}"


def test_this_python_is_among_those_tried_and_the_tests_are_there() -> None:
    assert sys.version_info[1] not in MINORS or sys.version_info[1] in found_pythons()
    assert all((HERE / path).exists() for path in CORE)
