"""Open formats: lines and loops as files that notation and audio programs open.

A folder a format, a file a level or a tune: MusicXML has every line with its task as text, one place after the other;
MIDI the same as it is played, and a file a card besides; a track is a loop through all keys to play over. Names are
ASCII: `level-1.musicxml`, `changes-my-blues.mid`, `card-` and the note's id.
"""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from deckbuilder.cards.facts import Fact, Slot
from deckbuilder.cards.levels import LEVELS
from deckbuilder.cards.note import Note
from deckbuilder.cards.parts import changes_of, one_after_the_other, played, tempo_of
from deckbuilder.cards.slug import digest, slug
from deckbuilder.cards.tracks import tracks
from deckbuilder.cards.written import line_score
from deckbuilder.deck.writers import Deck
from deckbuilder.notation.description import Score, Staves
from deckbuilder.notation.musicxml import Page, musicxml_file
from deckbuilder.sound.description import Clip
from deckbuilder.sound.midi import midi_file
from deckbuilder.sound.voice_leading import Change
from deckbuilder.speech import translate
from deckbuilder.theory.keys import Key

_LONGEST_NAME: Final = 120
"""Characters of an id in a file name."""
_GROUP: Final = r"(?:level-[0-9]+|changes-[a-z0-9-]+)"

Files = Iterator[tuple[str, bytes]]
"""Names and bytes of files."""


@dataclass(frozen=True, slots=True)
class OpenFormat:
    """A format that other programs open.

    Args:
        suffix: what the folder's name has after the deck's.
        names: what its files are called.
        files: makes them.
    """

    suffix: str
    names: re.Pattern[str]
    files: Callable[[Deck], Files]
    with_media: bool = False

    def owns(self, name: str) -> bool:
        """Tell whether a file is of this format's making, by its name."""
        return self.names.fullmatch(name) is not None

    def write(self, folder: Path, deck: Deck) -> None:
        """Write the files into a folder."""
        for name, data in self.files(deck):
            (folder / name).write_bytes(data)


def _groups(deck: Deck) -> Mapping[str, tuple[str, list[Note]]]:
    """Return the improvisations with a line by level or tune: the file's name, what people call it, the notes."""
    groups: dict[str, tuple[str, list[Note]]] = {}
    for note in deck.notes:
        if note.identity.fact is not Fact.IMPROVISATION or Slot.EXAMPLE not in note.media:
            continue
        if note.level in LEVELS:
            name, title = f"level-{note.level}", f"{deck.title} · {translate(LEVELS[note.level].title)}"
        else:
            tune = note.changes[0]
            name, title = f"changes-{_short(tune)}", f"{deck.title} · {tune}"
        groups.setdefault(name, (title, []))[1].append(note)
    return groups


def _short(name: str) -> str:
    """Return a name as a part of a file's name, never the same for two."""
    made = slug(name)
    return f"{made[:_LONGEST_NAME].rstrip('-')}-{digest(name)}" if len(made) > _LONGEST_NAME or not made else made


def _musicxml(deck: Deck) -> Files:
    for name, (title, notes) in _groups(deck).items():
        yield f"{name}.musicxml", musicxml_file(title, [_piece(note) for note in notes])


def _piece(note: Note) -> tuple[Score, Page]:
    music = note.music
    spans = list(zip(music.chords, music.beats, strict=True))
    score = line_score(note.identity.instrument.tuning, spans, music.line, Staves.BOTH)
    return score, Page((note.words.prompt,), _fifths(music.key), tempo_of(note))


def _fifths(key: Key) -> int:
    return sum(tone.accidental for tone in key.relative_major.scale.tones)


def _midi(deck: Deck) -> Files:
    for name, (title, notes) in _groups(deck).items():
        pieces = [played(note) for note in notes]
        yield f"{name}.mid", midi_file(title, pieces[0].tempo, one_after_the_other(pieces))
    for note in deck.notes:
        if Slot.CLIP in note.media:
            made = played(note)
            name = f"card-{slug(note.id)[:_LONGEST_NAME].rstrip('-')}-{digest(note.id)}.mid"
            yield name, midi_file(note.words.prompt, made.tempo, made.parts)


def _tracks(deck: Deck) -> Files:
    for name, (_, notes) in _groups(deck).items():
        clip = notes[0].media[Slot.EXAMPLE].description
        assert isinstance(clip, Clip)
        made = list(tracks(_forms(notes), tempo_of(notes[0]), clip.a4, clip.own))
        for number, track in enumerate(made, start=1):
            yield f"{name}{f'-part-{number}' if len(made) > 1 else ''}.mp3", track.render()


def _forms(notes: Sequence[Note]) -> list[list[tuple[Change, ...]]]:
    """Return the passages in every key, in the order of study, as one region has them."""
    keys: dict[str, dict[str, tuple[Change, ...]]] = {}
    for note in notes:
        keys.setdefault(note.identity.key, {}).setdefault(note.music.symbol, changes_of(note))
    return [list(form.values()) for form in keys.values()]


MUSICXML = OpenFormat("-musicxml", re.compile(rf"{_GROUP}\.musicxml"), _musicxml)
MIDI = OpenFormat("-midi", re.compile(rf"(?:{_GROUP}|card-[a-z0-9-]+)\.mid"), _midi)
TRACKS = OpenFormat("-tracks", re.compile(rf"{_GROUP}\.mp3"), _tracks)
