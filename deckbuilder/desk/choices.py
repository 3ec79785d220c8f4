"""Choices: everything that a recipe may ask for, each with a name and a sentence, as the page shows it.

Rows that extensions add are listed too; they are called as they call themselves.
"""

from collections.abc import Iterable, Iterator, Mapping
from enum import StrEnum
from pathlib import Path
from typing import Any, Final

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from deckbuilder.cards.cardtypes import known_kinds
from deckbuilder.cards.choices import Breadth, Hand, Labels, Notation, Order
from deckbuilder.cards.levels import ALTERED, LEVELS
from deckbuilder.cards.recipe import DEFAULT_KINDS, Recipe
from deckbuilder.cards.sounding import needs_ear
from deckbuilder.desk import words
from deckbuilder.desk.recipes import listed, starts
from deckbuilder.desk.state import desk_of
from deckbuilder.neck.instrument import MOST_FRETS
from deckbuilder.neck.regions import FEWEST_FRETS, FEWEST_REGIONS, MOST_REGIONS
from deckbuilder.neck.tuning import FEWEST_STRINGS, MOST_STRINGS, TUNINGS, write_tuning
from deckbuilder.picture.description import Ground, Size
from deckbuilder.sound.arrangement import A4S, TEMPOS, Direction
from deckbuilder.speech import DEFAULT, OWN_NAMES, Language, Names, Speech, current, speaking, translate
from deckbuilder.theory.colours import COLOURS
from deckbuilder.theory.keys import DEFAULT_KEYS, KEY_NAMES, MINOR_KEY_NAMES, Key
from deckbuilder.theory.tones import Tone, pretty

Row = dict[str, Any]

_TABLES: Final[Mapping[str, tuple[type[StrEnum], Mapping[str, words.Said]]]] = {
    "orders": (Order, words.ORDERS),
    "breadths": (Breadth, words.BREADTHS),
    "labels": (Labels, words.LABELS),
    "notations": (Notation, words.NOTATIONS),
    "directions": (Direction, words.DIRECTIONS),
    "hands": (Hand, words.HANDS),
    "strung": (Hand, words.STRUNG),
    "grounds": (Ground, words.GROUNDS),
    "sizes": (Size, words.SIZES),
    "languages": (Language, OWN_NAMES),
    "names": (Names, words.NAMES),
}
"""Choices of one among a few, and what is said of them."""


def choices() -> dict[str, Any]:
    """Return everything that there is to choose from, the folder's own recipes aside."""
    return {
        "default": default(),
        "tunings": list(_tunings()),
        "keys": [_key(name) for name in KEY_NAMES],
        "tune_keys": [_key(name) for name in (*KEY_NAMES, *(f"{tonic}m" for tonic in MINOR_KEY_NAMES))],
        "levels": list(_levels()),
        "kinds": list(_kinds()),
        "colours": list(_colours()),
        **{what: list(_rows(options, said)) for what, (options, said) in _TABLES.items()},
        "limits": _limits(),
        "starts": starts(current().names),
    }


def default() -> dict[str, Any]:
    """Return every field of the default recipe that a page may change, as a recipe's tables have it.

    It speaks as is spoken at the moment.
    """
    usual, speech = Recipe(), current()
    breadth, sound, instrument = usual.breadth, usual.sound, usual.instrument
    return {
        "title": translate(usual.title),
        "language": speech.language.value,
        "names": speech.names.value,
        "keys": [Key.parse(name).written for name in usual.keys],
        "regions": list(usual.regions),
        "levels": list(usual.levels),
        "kinds": [kind.value for kind in usual.kinds],
        "colours": list(usual.colour_names),
        "order": usual.order.value,
        "labels": usual.labels.value,
        "notation": usual.notation.value,
        "seed": usual.seed,
        "changes": [],
        "instrument": {
            "tuning": instrument.tuning,
            "frets": instrument.frets,
            "capo": instrument.capo,
            "regions": instrument.regions,
            "hand": instrument.hand.value,
        },
        "breadth": {kind.value: breadth.of(kind).value for kind in DEFAULT_KINDS if hasattr(breadth, kind.value)},
        "picture": {"ground": usual.picture.ground.value, "size": usual.picture.size.value},
        "sound": {
            "a4": sound.a4,
            "tempo": sound.tempo,
            "loop_tempo": sound.loop_tempo,
            "chord": sound.chord,
            "direction": sound.direction.value,
            "count_in": sound.count_in,
            "silent": sound.silent,
        },
    }


def _tunings() -> Iterator[Row]:
    for tuning in TUNINGS.values():
        yield {
            "name": tuning.name,
            "label": _begun(translate(tuning.description) or tuning.name),
            "pitches": write_tuning(",".join(tuning.pitch_names)).split(","),
            "pitch_labels": list(tuning.pitch_labels),
            "strings": tuning.strings,
            "frets": tuning.usual_frets,
        }


def _levels() -> Iterator[Row]:
    for number, level in LEVELS.items():
        chords = " – ".join(pretty(lesson.function) for lesson in level.changes)
        sentence = translate(words.LEVELS[number]) if number in words.LEVELS else chords
        yield {
            "number": number,
            "title": translate(level.title),
            "sentence": sentence,
            "default": number in Recipe().levels,
            "coloured": not level.minor and any(lesson.colour == ALTERED for lesson in level.lessons),
        }


def _kinds() -> Iterator[Row]:
    for kind, ask in known_kinds().items():
        yield {
            "name": kind.value,
            "label": translate(ask.title) or kind.value,
            "sentence": translate(ask.about),
            "default": kind in DEFAULT_KINDS,
            "ear": needs_ear(kind),
        }


def _colours() -> Iterator[Row]:
    for name, colour in COLOURS.items():
        sentence = words.COLOURS.get(name)
        yield {
            "name": name,
            "label": _begun(translate(colour.label)),
            "sentence": translate(sentence) if sentence else _begun(f"{pretty(colour.gives)}."),
            "symbol": Tone("C").label + pretty(colour.suffix),
            "default": name in Recipe().colour_names,
        }


def _rows(options: Iterable[StrEnum], said: Mapping[str, words.Said]) -> Iterator[Row]:
    for option in options:
        label, sentence = said[option]
        yield {"name": option.value, "label": translate(label), "sentence": translate(sentence)}


def _key(name: str) -> Row:
    key = Key.parse_either(name)
    return {"name": key.written, "label": key.label, "minor": key.minor, "usual": name in DEFAULT_KEYS}


def _limits() -> dict[str, list[float]]:
    """Return the smallest and the largest of every number that may be chosen."""
    return {
        "frets": [FEWEST_FRETS, MOST_FRETS],
        "regions": [FEWEST_REGIONS, MOST_REGIONS],
        "strings": [FEWEST_STRINGS, MOST_STRINGS],
        "tempo": list(TEMPOS),
        "loop_tempo": list(TEMPOS),
        "a4": list(A4S),
    }


def _begun(text: str) -> str:
    """Return a phrase as the beginning of a sentence."""
    return text[:1].upper() + text[1:]


def offered(folder: Path) -> dict[str, Any]:
    """Return everything that a page offers: the choices, and the recipes to begin with.

    Args:
        folder: the desk's, whose recipes are listed too.
    """
    return {**choices(), "recipes": listed(folder)}


def speech_of(request: Request) -> Speech:
    """Return how a page is to speak.

    Args:
        request: names `language` and `names` in its query, where they are not the usual ones.

    Raises:
        HTTPException: one of them is not known.
    """
    asked = request.query_params
    try:
        return Speech(Language(asked.get("language", DEFAULT.language)), Names(asked.get("names", DEFAULT.names)))
    except ValueError as error:
        raise HTTPException(400, f"{error}; take one of the choices") from None


async def _choices(request: Request) -> Response:
    folder, speech = desk_of(request).folder, speech_of(request)

    def answer() -> dict[str, Any]:
        with speaking(speech):
            return offered(folder)

    return JSONResponse(await run_in_threadpool(answer))


ROUTES = (Route("/api/choices", _choices),)
