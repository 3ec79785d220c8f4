"""Reading: changes of one's own, read while they are being written.

Every bar is told as it was understood, or with its own mistake; nothing ends at the first one. Where all is well, each
passage can be heard, with the example line that a card would have.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from deckbuilder.cards.changes import changes_in
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Slot
from deckbuilder.cards.improvisation import improvisation_notes
from deckbuilder.cards.note import Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.sounding import own_sound, sounding
from deckbuilder.cards.syllabus import first_of_changes
from deckbuilder.desk.answers import body_of
from deckbuilder.desk.builds import recipe_in
from deckbuilder.desk.gallery import Gallery
from deckbuilder.desk.state import desk_of
from deckbuilder.recipe import RecipeError
from deckbuilder.recipe.toml import refuse_endless
from deckbuilder.theory.analysis import AnalysedChord, readings
from deckbuilder.theory.changes import ChangesError, SectionText, read_sections, texts_of_bars
from deckbuilder.theory.forms import Form, Section
from deckbuilder.theory.keys import Key
from deckbuilder.theory.tones import TheoryError

_OF_THE_WHOLE: Final = ("levels", "keys", "kinds", "study", "changes")
"""Tables that say nothing of how one tune is read."""
_SLOTS: Final = {
    "loop": Slot.CLIP,
    "example": Slot.EXAMPLE,
    "slow": Slot.SLOW_CLIP,
    "score": Slot.NOTATION,
}
"""What of a passage can be heard and read."""
_ANY_KEY: Final = "C"
"""A form that is kept in its key has no use for another."""

Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Written:
    """A tune as it is being written.

    Args:
        name: what the player calls it.
        home: its key.
        sections: its sections as written; one without a name where it has none.
        order: numbers of the sections in the order in which they are played, from 0.
    """

    name: str
    home: Key
    sections: tuple[SectionText, ...]
    order: tuple[int, ...]


def written(tune: Mapping[str, Any]) -> Written:
    """Take a tune as a page sends it.

    Args:
        tune: the tune's table.

    Raises:
        HTTPException: it has not the form of one.
        TheoryError: it stands in no key.
    """
    match tune:
        case {"sections": [_, *_] as tables}:
            sections = tuple(_section(table) for table in tables)
        case {"bars": bars}:
            sections = (SectionText("", _text(bars)),)
        case _:
            raise HTTPException(400, "a tune has bars, or sections with bars")
    names = [section.name for section in sections]
    order = tune.get("order") or names
    known = order if isinstance(order, list) and all(name in names for name in order) else names
    return Written(
        str(tune.get("name", "")), Key.read(str(tune.get("key", ""))), sections, tuple(map(names.index, known))
    )


def _section(table: object) -> SectionText:
    if not isinstance(table, dict):
        raise HTTPException(400, "a section is an object with bars")
    key = table.get("key")
    return SectionText(str(table.get("name", "")), _text(table.get("bars")), Key.read(str(key)) if key else None)


def _text(bars: object) -> str:
    lines = [bars] if isinstance(bars, str) else bars
    if not isinstance(lines, list) or not all(isinstance(line, str) for line in lines):
        raise HTTPException(400, "bars are a text, or a list of lines")
    return "\n".join(lines)


def read(tune: Written) -> tuple[list[Row], list[Row], Form]:
    """Read a tune as far as it can be read.

    Args:
        tune: the tune.

    Returns:
        Its bars as written, each with its section's number from 0, its own number, its text and its chords; the
        mistakes, each with section and bar; and the form as it is played.
    """
    sections, found = read_sections(tune.home, tune.sections)
    mistakes = [_mistake(number, error) for number, errors in enumerate(found) for error in errors]
    form = Form(tune.name, tune.home, tuple(sections[number] for number in tune.order), transposes=False)
    known = _by_bar(replace(form, sections=sections)) | _by_bar(form)
    bars: list[Row] = []
    for number, (section, text) in enumerate(zip(sections, tune.sections, strict=True)):
        texts = dict(enumerate(texts_of_bars(text.bars), start=_first(section)))
        for bar in sorted({bar.number for bar in section.bars}):
            chords = known.get(bar, ())
            mistakes += [_mistake(number, error) for error in chords if isinstance(error, ChangesError)]
            shown = [_chord(chord) for chord in chords if isinstance(chord, AnalysedChord)]
            bars.append({"section": number, "number": bar, "text": texts.get(bar, ""), "chords": shown})
    return bars, mistakes, form


def _first(section: Section) -> int:
    return min((bar.number for bar in section.bars), default=1)


def _by_bar(form: Form) -> dict[int, tuple[AnalysedChord | TheoryError, ...]]:
    """Return the readings of a form's chords by their bar, a bar that is repeated as it is read at first."""
    read = iter(readings(form))
    found: dict[int, tuple[AnalysedChord | TheoryError, ...]] = {}
    for bar in form.bars:
        chords = tuple(next(read) for _ in bar.chords)
        found.setdefault(bar.number, chords)
    return found


def _chord(found: AnalysedChord) -> Row:
    harmony = found.harmony
    return {
        "symbol": found.chord.written,
        "understood": harmony.label,
        "function": found.label,
        "scale": harmony.mode.label,
        "beats": found.chord.beats,
    }


def _mistake(section: int | None, error: TheoryError | RecipeError) -> Row:
    if isinstance(error, ChangesError):
        return {"section": section, "bar": error.bar, "text": error.reason, "where": None}
    return {"section": section, "bar": None, "text": str(error), "where": None}


def passages(recipe: Recipe, form: Form, gallery: Gallery) -> Iterator[Row]:
    """Yield what can be heard of a form, passage by passage.

    Args:
        recipe: instrument and sound; the first of its regions is played in.
        form: the form, every bar of which was read.
        gallery: where its media can be asked for.
    """
    context = Context(recipe, form.home, first_of_changes())
    region = recipe.region(form.home, recipe.regions[0])
    for passage in changes_in(form, _ANY_KEY).passages():
        for note in improvisation_notes(context, region, passage):
            yield {"title": passage.title, **_heard(sounding(note, own_sound(recipe), recipe.sound.silent), gallery)}


def _heard(note: Note, gallery: Gallery) -> Row:
    names = {
        name: f"/media/{gallery.show([note.media[slot].description])[0]}" if slot in note.media else None
        for name, slot in _SLOTS.items()
    }
    return {**names, "task": note.words.question, "words": note.words.why}


def answer(tune: Mapping[str, Any], recipe: Recipe, gallery: Gallery) -> Row:
    """Read a tune that a page sends.

    Args:
        tune: the tune's table.
        recipe: instrument, sound and names of notes.
        gallery: where media can be asked for.

    Returns:
        `bars`, `errors`, `passages`; all are empty for a tune in no key.
    """
    with recipe.in_force():
        try:
            bars, mistakes, form = read(written(tune))
        except TheoryError:
            return {"bars": [], "errors": [], "passages": []}
        heard = [] if mistakes or not form.chords else list(passages(recipe, form, gallery))
    return {"bars": bars, "errors": mistakes, "passages": heard}


def _of_the_table(error: RecipeError, told: bool) -> Iterator[Row]:
    """Yield the mistakes in a tune's table, without those of its bars where each bar's own are told already."""
    for mistake in error.mistakes:
        where = mistake.where[2:]
        if not (told and (not where or where[-1] == "bars")):
            section = where[1] if where[:1] == ("sections",) and len(where) > 1 else None
            yield {"section": section, "bar": None, "text": mistake.text, "where": list(where)}


async def _changes(request: Request) -> Response:
    desk, body = desk_of(request), await body_of(request)
    tables, tune = body.get("recipe"), body.get("tune")
    if not isinstance(tables, dict) or not isinstance(tune, dict):
        raise HTTPException(400, "this request has to bring a recipe and a tune: objects under “recipe” and “tune”")
    kept = {name: value for name, value in tables.items() if name not in _OF_THE_WHOLE}

    def found() -> Row:
        try:
            refuse_endless(tune, "the tune")
        except RecipeError as error:
            return {"bars": [], "errors": [_mistake(None, error)], "passages": []}
        told = answer(tune, recipe_in({"recipe": kept}, desk), desk.gallery)
        try:
            recipe_in({"recipe": {**kept, "changes": [tune]}}, desk)
        except RecipeError as error:
            told["errors"] += _of_the_table(error, bool(told["errors"]))
        return told

    return JSONResponse(await run_in_threadpool(found))


ROUTES = (Route("/api/changes", _changes, methods=["POST"]),)
