"""Written music's description made into the bytes of an SVG.

The SVG is 360 CSS pixels wide, two bars a row, and has no ground of its own: a page shows it as an image and inverts
it where the page is dark. Letters are shapes, so that it looks alike everywhere and needs no font. It is small: every
shape is defined once, and lengths are whole tenths of a CSS pixel.
"""

from collections.abc import Iterator, Sequence
from typing import Final

from deckbuilder.notation.description import BAR, ChordSymbol, Score
from deckbuilder.notation.drawing import Drawing, Layer
from deckbuilder.notation.engraver import MARGIN, WIDTH, Label, Line, Role, Row, engrave
from deckbuilder.notation.musicxml import SWING, musicxml
from deckbuilder.notation.outlines import of_text
from deckbuilder.notation.values import written

INK: Final = "#1b1f24"

_FRET: Final = 184  # letters, in tenths of a CSS pixel
_DEGREE: Final = 135
_CHORD: Final = 165
_WORDS: Final = 140
_AIR: Final = 16
"""Between two texts."""
_GAP: Final = 12
"""Of a string's line, at each side of a number on it."""
_BELOW: Final = 55
"""From a row to the degrees below it."""
_BETWEEN: Final = 150
"""From row to row."""
_LIFT: Final = 20
"""Of a chord symbol above where the engraver has it, whose letters hang less deep."""
_NARROWEST: Final = 0.6
"""Of a chord symbol, as a share of its width; where there is less room it begins further left."""
_ON_LINE: Final = 60
"""How far the line that a number is written on may be from its string's."""


def render(score: Score) -> bytes:
    """Engrave music.

    Args:
        score: the music.

    Returns:
        An SVG.

    Raises:
        NotationError: music that cannot be written.
    """
    drawing = Drawing(WIDTH, INK)
    struck = _struck(score)
    chords = iter(score.chords)
    for number, row in enumerate(engrave(musicxml(score))):
        layer = Layer()
        for shape, x, y in row.shapes:
            layer.place(shape, x, y)
        for line in row.lines:
            layer.stroke(line)
        frets = [label for label in row.labels if label.role is Role.FRET]
        lyrics = [label for label in row.labels if label.role is Role.LYRIC]
        shown = [(label, next(struck)) for label in frets]
        gaps = list(_frets(layer, row, [label for label, degree in shown if degree is not None]))
        for line in _staves(row, gaps):
            layer.stroke(line)
        degrees = [(label.x, degree) for label, degree in shown if degree] or [(at.x, at.text) for at in lyrics]
        _degrees(layer, degrees)
        _chords(layer, [label for label in row.labels if label.role is Role.CHORD], chords)
        if score.swing and number == 0:
            layer.place(of_text(SWING, _WORDS), MARGIN, layer.box[1] - 3 * _AIR, "words")
        drawing.add(layer, _BETWEEN if number else 0)
    return drawing.svg(_AIR)


def _struck(score: Score) -> Iterator[str | None]:
    """Yield what each note value is to its chord; None for one that is tied over and not struck."""
    for bar in written(score.notes, score.bars):
        for value in bar:
            if value.note is not None:
                yield score.notes[value.note].degree if value.begins else None


def _frets(layer: Layer, row: Row, frets: Sequence[Label]) -> Iterator[tuple[float, float, float]]:
    """Write fret numbers on their strings, and yield where they interrupt them: height, left and right end."""
    heights = sorted(row.staves)
    middle = of_text("1", _FRET).box[1] / 2
    for label, room in zip(frets, _rooms([label.x for label in frets]), strict=True):
        height = min(heights, key=lambda y: abs(y + _ON_LINE / 2 - label.y))
        shape = of_text(label.text, _FRET, room)
        left, _, right, _ = shape.box
        x = label.x - (left + right) / 2
        layer.place(shape, x, height - middle, "frets")
        yield height, x + left - _GAP, x + right + _GAP


def _staves(row: Row, gaps: Sequence[tuple[float, float, float]]) -> Iterator[Line]:
    """Yield the lines of staves, whole but for the numbers on them."""
    for height, line in row.staves.items():
        at = line.x1
        for _, left, right in sorted(gap for gap in gaps if gap[0] == height):
            yield line._replace(x1=at, x2=left)
            at = right
        yield line._replace(x1=at)


def _degrees(layer: Layer, degrees: Sequence[tuple[float, str]]) -> None:
    base = layer.box[3] + _BELOW + _DEGREE * 0.75
    for (x, text), room in zip(degrees, _rooms([x for x, _ in degrees]), strict=True):
        shape = of_text(text, _DEGREE, room)
        layer.place(shape, x - (shape.box[0] + shape.box[2]) / 2, base, "degrees")


def _rooms(places: Sequence[float]) -> Iterator[float]:
    """Yield how wide the text at each place may be so that it leaves its neighbours theirs."""
    for number, x in enumerate(places):
        near = [abs(x - other) for other in places[max(0, number - 1) : number + 2] if other != x]
        yield min([*near, BAR * 10]) - _AIR


def _chords(layer: Layer, labels: Sequence[Label], chords: Iterator[ChordSymbol]) -> None:
    right = WIDTH - MARGIN / 2
    ends = [*(label.x - 2 * _AIR for label in labels[1:]), right]
    for label, end in zip(labels, ends, strict=False):
        text = next(chords).label
        natural = of_text(text, _CHORD).box[2]
        left = min(label.x, right - _NARROWEST * natural)
        layer.place(of_text(text, _CHORD, end - left), left, label.y - _LIFT, "chords")
