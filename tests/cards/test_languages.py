"""Every sentence of every card is a message, and says nothing that the catalogue does not know."""

import html
import re
import tomllib
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

import deckbuilder
from deckbuilder.build import notes_of
from deckbuilder.cards.cardtypes import CARD_TYPES, front_text
from deckbuilder.cards.facts import Kind
from deckbuilder.cards.levels import LEVELS
from deckbuilder.cards.note import Note
from deckbuilder.deck.fields import fields_of
from deckbuilder.deck.notetypes import model_of
from deckbuilder.preview.cards import cards_of
from deckbuilder.recipe import parse_recipe
from deckbuilder.speech import CODES, Language, Speech, speaking
from deckbuilder.theory.colours import COLOURS
from tests.marking import BEGIN, END, MARKED, marking, unmarked

RECIPES_HERE = Path(deckbuilder.__file__).parent / "recipes"
EVERY = {"kinds": [kind.value for kind in Kind]}
LEVELS_TOO = {**EVERY, "levels": list(LEVELS.built_in)}
RECIPES = {
    "standard": {"keys": ["F"], "regions": [1, 5], **LEVELS_TOO},
    "colours": {"keys": ["E"], "regions": [3], "colours": list(COLOURS.built_in), **LEVELS_TOO},
    "bass": {"keys": ["Bb"], "regions": [2], "instrument": {"tuning": "bass-4"}, **LEVELS_TOO},
    "capo": {"keys": ["Gb"], "regions": [2], "instrument": {"capo": 2}, "order": "key-first", **LEVELS_TOO},
    **{
        name: {
            **tomllib.loads((RECIPES_HERE / f"{name}.toml").read_text("utf-8")),
            "keys": ["B"],
            "regions": [4],
            **EVERY,
        }
        for name in ("blues", "rhythm", "minor")
    },
}
_ROOT = "[A-G][♭♯]?"
_SUFFIX = "(?:maj|m|Maj|dim|aug|alt|sus|ø|[♭♯0-9])*"
_NUMERAL = f"[♭♯]?(?:VII|VI|IV|V|III|II|I|vii|vi|iv|v|iii|ii|i){_SUFFIX}"
MUSIC = re.compile(rf"(?<!\w)(?:{_ROOT}{_SUFFIX}(?:/{_ROOT})?|{_NUMERAL}|[IVX]+|[♭♯]*[0-9]+)(?!\w)")
"""Tones, chords, numerals, degrees and positions, which no language changes."""
LETTER = re.compile(r"[^\W\d_]")
TAG = re.compile(r"<[^>]*>|\[sound:[^\]]*\]")
ALT = re.compile(r'alt="([^"]*)"')


def said(note: Note) -> Iterator[str]:
    """Yield every text of a note and its cards."""
    hidden = ("Id", *(name for name in fields_of(note) if name.startswith("Ask ")))
    for name, field in fields_of(note).items():
        if name not in hidden:
            yield from map(html.unescape, (TAG.sub(" ", field), *ALT.findall(field)))
    yield from (attachment.alt for attachment in note.media.values())
    for kind in note.kinds:
        yield front_text(note, kind)
    for card in cards_of([note]):
        yield from (html.unescape(TAG.sub(" ", side)) for side in (card.front, card.back))


def unsaid(text: str, names: tuple[str, ...]) -> str:
    """Return letters that are neither of a message, nor music, nor a name that the recipe gives."""
    rest = unmarked(text)
    for name in names:
        rest = rest.replace(name, " ")
    return MUSIC.sub(" ", rest)


@cache
def notes_in(name: str, language: Language) -> tuple[Note, ...]:
    return notes_of(parse_recipe({**RECIPES[name], "language": language}, "test"))


@pytest.mark.parametrize("name", RECIPES)
def test_every_word_is_of_a_message(name: str) -> None:
    recipe = replace(parse_recipe(RECIPES[name], "test"), language=MARKED)
    sections = tuple(f"{tune.name} {part.name}" for tune in recipe.changes for part in tune.sections)
    names = (*sections, *(tune.name for tune in recipe.changes))
    with marking():
        notes = notes_of(recipe)
        for note in notes:
            for text in (note.lap, *said(note)):
                assert not LETTER.search(unsaid(text, names)), f"{note.id}: {text}"
    if name == "standard":
        assert {note.identity.fact for note in notes} == set(CARD_TYPES.built_in)


@pytest.mark.parametrize("name", RECIPES)
def test_every_card_is_there_in_every_language(name: str) -> None:
    english = notes_in(name, Language.ENGLISH)
    for language in Language:
        notes = notes_in(name, language)
        assert [(note.id, note.kinds, note.tags) for note in notes] == [(n.id, n.kinds, n.tags) for n in english]
        with speaking(Speech(language)):
            texts = {text for note in notes for text in said(note)}
        assert not any(sign in text for text in texts for sign in ("{", "}", BEGIN, END))
        assert all(note.words.prompt and note.words.why for note in notes)


@pytest.mark.parametrize("language", Language)
def test_templates_of_a_language_have_the_same_fields(language: Language) -> None:
    fields = re.compile(r"\{\{[^}]*\}\}")
    for row in CARD_TYPES.built_in.values():
        english = model_of(row)
        with speaking(Speech(language)):
            model = model_of(row)
        assert (model.model_id, model.name) == (english.model_id, english.name)
        assert [field["name"] for field in model.fields] == [field["name"] for field in english.fields]
        for own, usual in zip(model.templates, english.templates, strict=True):
            assert own["name"] == usual["name"]
            for side in ("qfmt", "afmt"):
                assert fields.findall(own[side]) == fields.findall(usual[side])
                said = own[side].replace(f'lang="{CODES[language]}"', 'lang="en"', 1)
                assert re.findall("<[^>]*>", said) == re.findall("<[^>]*>", usual[side])
