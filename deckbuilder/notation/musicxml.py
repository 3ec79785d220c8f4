"""Music as MusicXML, the open format of notation programs: staff and tablature, chord symbols, degrees.

The format is W3C's MusicXML 4.0. Both staves are one part, the tablature its second staff; degrees are the lyrics of
the tablature (not on a card, which draws them itself), or of the staff where it stands alone. A division is a tick.
The same music gives the same bytes.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final
from xml.etree import ElementTree

from deckbuilder.notation.description import BAR, BEAT, ChordSymbol, Clef, Pitch, Score, ScoreNote, Staves, check
from deckbuilder.notation.elements import Markup, element, leaf
from deckbuilder.notation.harmony import harmony
from deckbuilder.notation.values import Beam, Value, beams, shown_accidentals, triplets, written

BARS_A_ROW: Final = 2
PART: Final = "line"
"""The part's name."""
SWING: Final = "swing"
"""What music says whose eighths are swung."""

_PROLOGUE: Final = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
)
_CLEFS: Final = {
    Clef.TREBLE: ("G", 2, 0),
    Clef.TREBLE_8: ("G", 2, -1),
    Clef.BASS: ("F", 4, 0),
    Clef.BASS_8: ("F", 4, -1),
}
"""Sign, line and change of octave."""
_TYPES: Final = {
    **{48: ("whole", 0), 36: ("half", 1), 24: ("half", 0), 18: ("quarter", 1), 12: ("quarter", 0)},
    **{9: ("eighth", 1), 6: ("eighth", 0), 3: ("16th", 0), 8: ("quarter", 0), 4: ("eighth", 0), 2: ("16th", 0)},
}
"""Name and dots of the value that lasts so many ticks, in a triplet or not."""
Spelled = tuple[Value, Beam, str, int | None]
"""A value, its beams, where its triplet begins or ends, and the accidental before it."""

_SIGNS: Final = {-2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp"}


@dataclass(frozen=True, slots=True)
class Page:
    """What a file tells of a piece besides the music.

    Args:
        words: what stands above its first bar, a line each.
        fifths: the key signature's sharps (negative: flats).
        tempo: quarter notes a minute.
    """

    words: tuple[str, ...]
    fifths: int
    tempo: float


def musicxml(score: Score) -> bytes:
    """Write music as MusicXML for a card: rows of two bars, no key and time, numbers alone in the tablature.

    Args:
        score: the music.

    Returns:
        A document in UTF-8.

    Raises:
        NotationError: music that cannot be written.
    """
    return _bytes(_document(None, _piece(score, None, 1)))


def musicxml_file(title: str, pieces: Iterable[tuple[Score, Page]]) -> bytes:
    """Write pieces as MusicXML for notation programs, one after the other, a double bar line after each.

    Args:
        title: the title.
        pieces: the pieces, all for one instrument and on the same staves.

    Returns:
        A document in UTF-8.

    Raises:
        NotationError: music that cannot be written.
    """
    measures: list[Markup] = []
    for score, page in pieces:
        measures += _piece(score, page, len(measures) + 1)
    root = ElementTree.fromstring(_document(title, measures))
    ElementTree.indent(root)
    return _bytes(ElementTree.tostring(root, encoding="unicode"))


def _document(title: str | None, measures: Iterable[Markup]) -> Markup:
    named = element("part-name") if title is None else leaf("part-name", PART)
    return element(
        "score-partwise",
        *([] if title is None else [leaf("movement-title", title)]),
        element("part-list", element("score-part", named, id="P1")),
        element("part", *measures, id="P1"),
        version="4.0",
    )


def _bytes(root: str) -> bytes:
    return f"{_PROLOGUE}{root}\n".encode()


def _piece(score: Score, page: Page | None, first: int) -> list[Markup]:
    """Write a piece, bar by bar, the first of them with a number."""
    check(score)
    bars = enumerate(written(score.notes, score.bars))
    return [element("measure", *_measure(score, page, bar, values, first), number=first + bar) for bar, values in bars]


def _measure(score: Score, page: Page | None, bar: int, values: Sequence[Value], first: int) -> Iterator[Markup]:
    if page is None and bar % BARS_A_ROW == 0:
        # Where the first row is told as well, the engraver need not lay out all bars to find where to break them.
        yield element("print", **{"new-system" if bar else "new-page": "yes"})
    staves = _staves(score.staves)
    if bar == 0:
        instrument = (score.staves, score.clef, score.open_strings) if first == 1 else None
        yield _attributes(page.fifths if page else None, instrument)
        if page:
            yield from _directions(score, page)
    signs = shown_accidentals(values, score.notes, page.fifths if page else 0)
    spelled = list(zip(values, beams(values), triplets(values), signs, strict=True))
    chords = [chord for chord in score.chords if chord.onset // BAR == bar]
    for staff, tablature in enumerate(staves, start=1):
        if staff == 2:
            yield element("backup", leaf("duration", BAR))
        yield from _voice(score, page, spelled, chords if staff == 1 else [], staff=staff, tablature=tablature)
    if page and bar == score.bars - 1:
        yield element("barline", leaf("bar-style", "light-light"), location="right")


def _staves(staves: Staves) -> tuple[bool, ...]:
    """Return of every staff whether it is a tablature."""
    return (*((False,) if staves.has_staff else ()), *((True,) if staves.has_tablature else ()))


@lru_cache(maxsize=64)
def _attributes(fifths: int | None, instrument: tuple[Staves, Clef, tuple[Pitch, ...]] | None) -> Markup:
    """Tell what holds from a bar on; kept, because a deck's music has one instrument.

    Args:
        fifths: the key signature's sharps; None for a card, which has no key and, four beats being what is
            read where none are told, no time.
        instrument: staves, clef and open strings; None where they were told before.
    """
    parts = [leaf("divisions", BEAT)]
    if fifths is not None:
        parts.append(element("key", leaf("fifths", fifths)))
    if instrument:
        if fifths is not None:
            parts.append(element("time", leaf("beats", BAR // BEAT), leaf("beat-type", 4)))
        parts += _instrument(*instrument)
    return element("attributes", *parts)


def _instrument(shown: Staves, clef: Clef, open_strings: Sequence[Pitch]) -> Iterator[Markup]:
    staves = _staves(shown)
    if len(staves) > 1:
        yield leaf("staves", len(staves))
    for number, tablature in enumerate(staves, start=1):
        sign, line, octaves = ("TAB", 5, 0) if tablature else _CLEFS[clef]
        changed = [leaf("clef-octave-change", octaves)] if octaves else []
        yield element("clef", leaf("sign", sign), leaf("line", line), *changed, number=number)
    if shown.has_tablature:
        tunings = (_tuning(line, pitch) for line, pitch in enumerate(open_strings, start=1))
        yield element("staff-details", leaf("staff-lines", len(open_strings)), *tunings, number=len(staves))


def _tuning(line: int, pitch: Pitch) -> Markup:
    """Tell a string of the tablature, line 1 the lowest."""
    return element("staff-tuning", *_pitch(pitch, "tuning-"), line=line)


def _pitch(pitch: Pitch, kind: str = "") -> Iterator[Markup]:
    yield leaf(f"{kind}step", pitch.letter)
    if pitch.accidental:
        yield leaf(f"{kind}alter", pitch.accidental)
    yield leaf(f"{kind}octave", pitch.octave)


def _directions(score: Score, page: Page) -> Iterator[Markup]:
    """Tell what stands above the first bar, and, for programs, how its eighths are played."""
    for line in (*page.words, *((SWING,) if score.swing else ())):
        yield element("direction", element("direction-type", leaf("words", line)), placement="above")
    tempo = f"{page.tempo:g}"
    metronome = element("metronome", leaf("beat-unit", "quarter"), leaf("per-minute", tempo))
    swing = element("swing", leaf("first", 2), leaf("second", 1), leaf("swing-type", "eighth"))
    sound = element("sound", *([swing] if score.swing else []), tempo=tempo)
    yield element("direction", element("direction-type", metronome), sound, placement="above")


def _voice(
    score: Score,
    page: Page | None,
    spelled: Iterable[Spelled],
    chords: Sequence[ChordSymbol],
    *,
    staff: int,
    tablature: bool,
) -> Iterator[Markup]:
    """Write a bar of one staff."""
    alone, bare = score.staves is not Staves.BOTH, tablature and page is None
    waiting = list(chords)
    for each in spelled:
        value = each[0]
        while waiting and waiting[0].onset % BAR < value.onset + value.length:
            yield harmony(waiting.pop(0), value)
        note = score.notes[value.note] if value.note is not None else None
        yield element("note", *_note(each, note, staff=staff, tablature=tablature, alone=alone, bare=bare))


def _note(
    spelled: Spelled, note: ScoreNote | None, *, staff: int, tablature: bool, alone: bool, bare: bool
) -> Iterator[Markup]:
    """Write what a note or rest is made of, in the order of the format.

    Args:
        spelled: its value and how that is written.
        note: the note; None for a rest.
        staff: the number of its staff.
        tablature: whether that is a tablature.
        alone: whether it is the only staff.
        bare: whether it has neither ties nor a degree.
    """
    value, beam, triplet, sign = spelled
    yield element("pitch", *_pitch(note.pitch)) if note else element("rest")
    yield leaf("duration", value.length)
    ties = _ties(value) if note and not bare else ()
    yield from (element("tie", type=way) for way in ties)
    yield leaf("voice", staff)
    name, dots = _TYPES[value.length]
    yield leaf("type", name)
    yield from [element("dot")] * dots
    if sign is not None and not tablature:
        yield leaf("accidental", _SIGNS[sign])
    if value.is_triplet:
        yield element("time-modification", leaf("actual-notes", 3), leaf("normal-notes", 2))
    if tablature and not alone:
        yield leaf("stem", "none")
    yield leaf("staff", staff)
    has_beams = alone or not tablature
    if has_beams:
        yield from (leaf("beam", way, number=number) for number, way in enumerate(beam, start=1))
    notations = [element("tied", type=way) for way in ties]
    if triplet:
        notations.append(_tuplet(triplet, bracket=has_beams))
    if tablature and note:
        notations.append(element("technical", leaf("string", note.string), leaf("fret", note.fret)))
    if notations:
        yield element("notations", *notations)
    if note and note.degree and value.begins and (alone or tablature) and not bare:
        yield element("lyric", leaf("syllabic", "single"), leaf("text", note.degree), number=1)


def _ties(value: Value) -> tuple[str, ...]:
    return (*(() if value.begins else ("stop",)), *(() if value.ends else ("start",)))


def _tuplet(triplet: str, *, bracket: bool) -> Markup:
    if triplet != "start":
        return element("tuplet", type=triplet)
    return (
        element("tuplet", type=triplet, bracket="yes")
        if bracket
        else element("tuplet", type=triplet, bracket="no", **{"show-number": "none"})
    )
