"""Music as MusicXML, the open format of notation programs: staff and tablature, chord symbols, degrees.

The format is W3C's MusicXML 4.0. Both staves are one part, the tablature its second staff; degrees are the lyrics of
the tablature, or of the staff where it stands alone. A division is a tick. The same music gives the same bytes.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from deckbuilder.notation.description import BAR, BEAT, ChordSymbol, Clef, Pitch, Score, ScoreNote, check
from deckbuilder.notation.elements import add
from deckbuilder.notation.harmony import write_harmony
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
    """Write music as MusicXML for a card: rows of two bars without key and time signatures, no tie in the tablature.

    Args:
        score: the music.

    Returns:
        A document in UTF-8.

    Raises:
        NotationError: music that cannot be written.
    """
    root, part = _document(None)
    _piece(part, score, None)
    return _bytes(root)


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
    root, part = _document(title)
    for score, page in pieces:
        _piece(part, score, page)
    ElementTree.indent(root)
    return _bytes(root)


def _document(title: str | None) -> tuple[Element, Element]:
    root = Element("score-partwise", version="4.0")
    if title is not None:
        add(root, "movement-title", title)
    add(add(add(root, "part-list"), "score-part", id="P1"), "part-name", None if title is None else PART)
    return root, add(root, "part", id="P1")


def _bytes(root: Element) -> bytes:
    return (_PROLOGUE + ElementTree.tostring(root, encoding="unicode") + "\n").encode()


def _piece(part: Element, score: Score, page: Page | None) -> None:
    check(score)
    for number, values in enumerate(written(score.notes, score.bars)):
        _measure(part, score, page, number, values)
    if page:
        add(add(part[-1], "barline", location="right"), "bar-style", "light-light")


def _measure(part: Element, score: Score, page: Page | None, number: int, values: Sequence[Value]) -> None:
    measure = add(part, "measure", number=str(len(part) + 1))
    if page is None and number % BARS_A_ROW == 0:
        # Where the first row is told as well, the engraver need not lay out all bars to find where to break them.
        add(measure, "print", **{"new-system" if number else "new-page": "yes"})
    if number == 0:
        _attributes(measure, score, page, is_first=len(part) == 1)
        if page:
            _directions(measure, score, page)
    chords = [chord for chord in score.chords if chord.onset // BAR == number]
    for staff, tablature in enumerate(_staves(score), start=1):
        if staff == 2:
            add(add(measure, "backup"), "duration", BAR)
        _voice(measure, score, page, values, chords if staff == 1 else [], staff=staff, tablature=tablature)


def _staves(score: Score) -> tuple[bool, ...]:
    """Return of every staff whether it is a tablature."""
    return (*((False,) if score.staves.has_staff else ()), *((True,) if score.staves.has_tablature else ()))


def _attributes(measure: Element, score: Score, page: Page | None, *, is_first: bool) -> None:
    attributes = add(measure, "attributes")
    add(attributes, "divisions", BEAT)
    if page:
        add(add(attributes, "key"), "fifths", page.fifths)
    if not is_first:
        return
    time = add(attributes, "time", **({} if page else {"print-object": "no"}))
    add(time, "beats", BAR // BEAT)
    add(time, "beat-type", 4)
    staves = _staves(score)
    if len(staves) > 1:
        add(attributes, "staves", len(staves))
    for number, tablature in enumerate(staves, start=1):
        sign, line, octaves = ("TAB", 5, 0) if tablature else _CLEFS[score.clef]
        clef = add(attributes, "clef", number=str(number))
        add(clef, "sign", sign)
        add(clef, "line", line)
        if octaves:
            add(clef, "clef-octave-change", octaves)
    if score.staves.has_tablature:
        _strings(attributes, score.open_strings, len(staves))


def _strings(attributes: Element, pitches: Sequence[Pitch], staff: int) -> None:
    """Tell the tablature's strings, line 1 the lowest."""
    details = add(attributes, "staff-details", number=str(staff))
    add(details, "staff-lines", len(pitches))
    for line, pitch in enumerate(pitches, start=1):
        tuning = add(details, "staff-tuning", line=str(line))
        add(tuning, "tuning-step", pitch.letter)
        if pitch.accidental:
            add(tuning, "tuning-alter", pitch.accidental)
        add(tuning, "tuning-octave", pitch.octave)


def _directions(measure: Element, score: Score, page: Page) -> None:
    """Tell what stands above the first bar, and, for programs, how its eighths are played."""
    for line in (*page.words, *((SWING,) if score.swing else ())):
        words = add(measure, "direction", placement="above")
        add(add(words, "direction-type"), "words", line)
    tempo = add(measure, "direction", placement="above")
    metronome = add(add(tempo, "direction-type"), "metronome")
    add(metronome, "beat-unit", "quarter")
    add(metronome, "per-minute", f"{page.tempo:g}")
    sound = add(tempo, "sound", tempo=f"{page.tempo:g}")
    if score.swing:
        swing = add(sound, "swing")
        add(swing, "first", 2)
        add(swing, "second", 1)
        add(swing, "swing-type", "eighth")


def _voice(
    measure: Element,
    score: Score,
    page: Page | None,
    values: Sequence[Value],
    chords: Sequence[ChordSymbol],
    *,
    staff: int,
    tablature: bool,
) -> None:
    """Write a bar of one staff."""
    alone = len(_staves(score)) == 1
    waiting = list(chords)
    signs = shown_accidentals(values, score.notes, page.fifths if page else 0)
    for value, beam, triplet, sign in zip(values, beams(values), triplets(values), signs, strict=True):
        while waiting and waiting[0].onset % BAR < value.onset + value.length:
            write_harmony(measure, waiting.pop(0), value)
        made = add(measure, "note")
        note = score.notes[value.note] if value.note is not None else None
        tied = note is not None and not (tablature and page is None)
        _sound(made, value, note, tied=tied)
        add(made, "voice", staff)
        name, dots = _TYPES[value.length]
        add(made, "type", name)
        for _ in range(dots):
            add(made, "dot")
        if sign is not None and not tablature:
            add(made, "accidental", _SIGNS[sign])
        if value.is_triplet:
            thirds = add(made, "time-modification")
            add(thirds, "actual-notes", 3)
            add(thirds, "normal-notes", 2)
        if tablature and not alone:
            add(made, "stem", "none")
        add(made, "staff", staff)
        if alone or not tablature:
            _beams(made, beam)
        _notations(made, value, note, triplet, tied=tied, tablature=tablature, bracket=alone or not tablature)
        if note and note.degree and value.begins and (alone or tablature):
            lyric = add(made, "lyric", number="1")
            add(lyric, "syllabic", "single")
            add(lyric, "text", note.degree)


def _sound(made: Element, value: Value, note: ScoreNote | None, *, tied: bool) -> None:
    if note is None:
        add(made, "rest")
    else:
        pitch = add(made, "pitch")
        add(pitch, "step", note.pitch.letter)
        if note.pitch.accidental:
            add(pitch, "alter", note.pitch.accidental)
        add(pitch, "octave", note.pitch.octave)
    add(made, "duration", value.length)
    for way in _ties(value) if tied else ():
        add(made, "tie", type=way)


def _ties(value: Value) -> Iterator[str]:
    if not value.begins:
        yield "stop"
    if not value.ends:
        yield "start"


def _beams(made: Element, beam: Beam) -> None:
    for number, way in enumerate(beam, start=1):
        add(made, "beam", way, number=str(number))


def _notations(
    made: Element, value: Value, note: ScoreNote | None, triplet: str, *, tied: bool, tablature: bool, bracket: bool
) -> None:
    notations = Element("notations")
    for way in _ties(value) if tied else ():
        add(notations, "tied", type=way)
    if triplet:
        tuplet = add(notations, "tuplet", type=triplet)
        if triplet == "start":
            tuplet.set("bracket", "yes" if bracket else "no")
            if not bracket:
                tuplet.set("show-number", "none")
    if tablature and note is not None:
        technical = add(notations, "technical")
        add(technical, "string", note.string)
        add(technical, "fret", note.fret)
    if len(notations):
        made.append(notations)
