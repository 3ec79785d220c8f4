"""Make the sample pictures and clips that README shows: `.venv/bin/python -m media.make_samples`."""

from dataclasses import replace
from pathlib import Path

from deckbuilder.cards.choices import Pictures
from deckbuilder.cards.facts import Slot
from deckbuilder.cards.syllabus import syllabus
from deckbuilder.medium import Description
from deckbuilder.picture.description import Ground
from deckbuilder.recipe import Recipe, read_recipe
from tests.noted import clip_of, example_of, picture_of, shown_in

HERE = Path(__file__).parent
REGION = "E2-A2-D3-G3-B3-E4/{}/F/region-5-of-5"
SAMPLES = {
    "altered-third": REGION.format("arpeggio") + "/V/altered/third",
    "plain-root": REGION.format("arpeggio") + "/V/plain/root",
    "altered-scale": REGION.format("scale") + "/V/altered",
    "spelling": "E2-A2-D3-G3-B3-E4/spelling/F/V/altered/root",
}
"""File names by the ids of the notes they come from, in the default deck."""
BLUES = HERE.parent / "deckbuilder" / "recipes" / "blues.toml"
BLUES_SAMPLES = {
    "blues-connection": REGION.format("connection") + "/V/altered/from-b7-to-I7-plain",
    "blues-scale": REGION.format("scale") + "/I7/altered",
    "blues-chorus": REGION.format("improvisation") + "/twelve-bar-blues-bars-1-12",
}
"""The same for the deck of a blues."""


ALONE = Pictures(ground=Ground.DARK)
"""Pictures that no card's style goes with."""


def main() -> None:
    """Write the samples beside this file."""
    notes = {note.id: note for note in syllabus(Recipe(keys=("F",), picture=ALONE))}
    for name, note_id in SAMPLES.items():
        note = notes[note_id]
        _write(f"{name}.png", shown_in(note))
        _write(f"{name}.mp3", clip_of(note))
    _write("altered-third-question.png", picture_of(notes[SAMPLES["altered-third"]], Slot.QUESTION_PICTURE))
    notes = {note.id: note for note in syllabus(replace(read_recipe(BLUES), picture=ALONE))}
    for name, note_id in BLUES_SAMPLES.items():
        note = notes[note_id]
        _write(f"{name}.png", shown_in(note))
        _write(f"{name}.mp3", example_of(note) or clip_of(note))


def _write(name: str, description: Description) -> None:
    (HERE / name).write_bytes(description.render())


if __name__ == "__main__":
    main()
