"""A class in one file: whom it has, what each studies, and what is told of a bad row."""

from pathlib import Path

import pytest

from deckbuilder.errors import UserError
from deckbuilder.teaching.roster import ClassError, Roster, read_class

COMMON = 'title = "Tuesdays"\n[recipe]\nkeys = ["F", "Bb"]\nlevels = [1]\n[recipe.sound]\ntempo = 90.0\n'


def read(folder: Path, text: str, name: str = "class") -> Roster:
    path = folder / f"{name}.toml"
    path.write_text(text, encoding="utf-8")
    return read_class(path)


def refused(folder: Path, text: str) -> str:
    with pytest.raises(UserError) as caught:
        read(folder, text)
    assert len(caught.value.lines) == 1
    return caught.value.lines[0]


def test_every_student_has_a_titled_recipe_that_builds_on_the_common_one(tmp_path: Path) -> None:
    text = COMMON + (
        '[[students]]\nname = "Ada"\n[[students]]\nname = "Ben"\ntitle = "Ben\'s"\nkeys = ["C"]\n'
        "[students.sound]\ncount_in = false\n[[students.study]]\nregions = [2]\n"
    )
    roster = read(tmp_path, text)
    ada, ben = (student.recipe for student in roster.students)
    assert [student.name for student in roster.students] == ["Ada", "Ben"]
    assert (ada.title, ada.keys, ada.levels, ada.sound.tempo) == ("Tuesdays · Ada", ("F", "Bb"), (1,), 90.0)
    assert (ben.title, ben.keys, ben.sound.tempo, ben.sound.count_in) == ("Ben's", ("C",), 90.0, False)
    assert [block.regions for block in ben.study] == [(2,)]
    assert roster.refused == ()


def test_a_student_may_have_a_recipe_in_a_file_instead_of_the_common_one(tmp_path: Path) -> None:
    (tmp_path / "own.toml").write_text('keys = ["G"]\nseed = 7\n')
    roster = read(tmp_path, COMMON + '[[students]]\nname = "Ada"\nextends = "own.toml"\nlevels = [2]\n')
    recipe = roster.students[0].recipe
    assert (recipe.keys, recipe.seed, recipe.levels, recipe.sound.tempo) == (("G",), 7, (2,), 144.0)
    assert recipe.title == "Tuesdays · Ada"


def test_the_common_recipe_may_build_on_another(tmp_path: Path) -> None:
    (tmp_path / "school.toml").write_text('labels = "names"\nkeys = ["C"]\n')
    text = '[recipe]\nextends = "school.toml"\nkeys = ["D"]\n[[students]]\nname = "Ada"\n'
    recipe = read(tmp_path, text, "thursdays").students[0].recipe
    assert (recipe.title, recipe.keys, recipe.labels.value) == ("thursdays · Ada", ("D",), "names")


def test_a_bad_row_is_told_with_file_student_key_and_remedy_and_the_others_are_there(tmp_path: Path) -> None:
    text = COMMON + (
        '[[students]]\nname = "Ada"\nkeys = ["H"]\nlevels = [9]\n[[students]]\nname = "Ben"\n'
        '[[students]]\n[[students]]\nname = "  "\n[[students]]\nname = "Cy"\nextends = "none.toml"\n'
    )
    roster = read(tmp_path, text)
    file = tmp_path / "class.toml"
    assert [student.name for student in roster.students] == ["Ben"]
    lines = [line for row in roster.refused for line in row.lines]
    assert lines[0].startswith(f"{file}: students 1 (Ada): keys = [\"H\"]: 'H' is not a key; ")
    assert lines[1].startswith(f"{file}: students 1 (Ada): levels = [9]: there is no level 9")
    assert lines[2] == f'{file}: students 3.name is missing; write name = "A. B."'
    assert lines[3].startswith(f"{file}: students 4.name = ")
    assert lines[4].startswith(f'{file}: students 5 (Cy): extends = "none.toml": ')
    assert [row.name for row in roster.refused] == ["Ada", "", "", "Cy"]


def test_two_of_one_name_need_titles_of_their_own(tmp_path: Path) -> None:
    row = '[[students]]\nname = "Ada"\n'
    roster = read(tmp_path, COMMON + row + row + row + 'title = "The other Ada"\n')
    assert [student.recipe.title for student in roster.students] == ["Tuesdays · Ada", "The other Ada"]
    (line,) = roster.refused[0].lines
    assert "students 2 (Ada): title = " in line
    assert "as that of students 1 (Ada); add an initial to the name, or give a title of its own" in line


def test_names_of_any_script_are_taken(tmp_path: Path) -> None:
    text = "".join(f'[[students]]\nname = "{name}"\n' for name in ("Аня", "Оля", "李"))
    assert len(read(tmp_path, text).students) == 3


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('title = "x"\n', 'students: there are none; write [[students]] and below it name = "A. B."'),
        ("students = 3\n", "students: there are none"),
        ('keys = ["F"]\n[[students]]\nname = "A"\n', "keys: a class has no such field; choose from title, recipe"),
        ('[[student]]\nname = "A"\n', "student: a class has no such field; did you mean 'students'?"),
        ('title = 3\n[[students]]\nname = "A"\n', "title = 3: this has to be a text"),
        (
            'title = "a::b"\n[[students]]\nname = "A"\n',
            'title = "a::b": a class\'s title is one line of text',
        ),
        ('recipe = "a.toml"\n[[students]]\nname = "A"\n', 'recipe = "a.toml": this has to be a table of its own'),
        ('[recipe]\nkeys = ["H"]\n[[students]]\nname = "A"\n', "recipe: keys = [\"H\"]: 'H' is not a key"),
    ],
)
def test_what_concerns_all_is_told_alone(tmp_path: Path, text: str, told: str) -> None:
    assert refused(tmp_path, text).startswith(f"{tmp_path / 'class.toml'}: {told}")


def test_a_missing_file(tmp_path: Path) -> None:
    with pytest.raises(UserError, match="there is no such file; name the file of a class"):
        read_class(tmp_path / "none.toml")


def test_some_students_alone(tmp_path: Path) -> None:
    roster = read(tmp_path, COMMON + '[[students]]\nname = "Ada"\nkeys = []\n[[students]]\nname = "Ben"\n')
    assert roster.only([]) is roster
    assert [one.name for one in roster.only(["Ben"]).students] == ["Ben"]
    assert roster.only(["Ben"]).refused == ()
    assert [one.name for one in roster.only(["Ada"]).refused] == ["Ada"]
    with pytest.raises(ClassError, match="--only Bem: no student of this class is called so; did you mean 'Ben'"):
        roster.only(["Bem"])


def test_a_student_may_have_other_names_of_notes_than_the_class(tmp_path: Path) -> None:
    file = tmp_path / "class.toml"
    file.write_text(
        'title = "T"\n[recipe]\nkeys = ["Bb", "B"]\n'
        '[[recipe.changes]]\nname = "Mine"\nkey = "Bb"\nbars = "| Bm7 | F7 |"\n'
        '[[students]]\nname = "G"\nnames = "german"\nkeys = ["H"]\n[[students]]\nname = "E"\n',
        encoding="utf-8",
    )
    german, english = (student.recipe for student in read_class(file).students)
    assert (german.keys, english.keys) == (("B",), ("Bb", "B"))
    assert german.changes == english.changes
