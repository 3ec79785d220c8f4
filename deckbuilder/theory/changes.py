"""Changes: reading a form from text.

    |: ii7 | V7alt | Imaj7 | VI7alt :|
    | Bb: Cm7 F7 | Bbmaj7 | % | G7 / / C7{lydian-dominant} |

Bars stand between bar lines, several lines of text follow one another. A chord is a Roman numeral or a chord symbol.
One to four chords share a bar: two get two beats each, four one each, three two, one and one; `/` holds the chord
before it for one more share. `%` repeats the bar before. `|:` and `:|` are played twice. `Bb:` or `Gm:` puts what
follows, up to the section's end, into another key, as analyses of harmony write it. Chord symbols and keys have
the names of the current speech. `{…}` after a chord overrules what follows from its context: a colour for a dominant, a
chord scale for any other chord.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from itertools import pairwise

from deckbuilder.suggestions import remedy
from deckbuilder.theory.forms import BEATS, Bar, Form, FormChord, Section
from deckbuilder.theory.keys import Key
from deckbuilder.theory.numerals import Numeral, looks_like_numeral
from deckbuilder.theory.overruling import overruled
from deckbuilder.theory.steps import Step
from deckbuilder.theory.symbols import ChordSymbol
from deckbuilder.theory.tones import TheoryError

MOST_BARS = 200
"""Bars that a form may have, repeats played out."""

TOKEN = re.compile(r":\|\s*\|?:|\|:|:\||\|\]|\|\||\||\[[^\]|]*\]?|\{[^}|]*\}|[^\s|\[\]{}:]+(?::(?!\|))?|\S")
"""What a line of bars is made of: bar lines, keys, choices in braces, chords."""
_SHARES = {1: (4,), 2: (2, 2), 3: (2, 1, 1), 4: (1, 1, 1, 1)}
BAR_LINES = {"|", "||", "|]", "|:", ":|"}
"""Bar lines that stand by themselves; `:|:` and its like begin with `:|`."""


class ChangesError(TheoryError):
    """Changes that cannot be read; the message names the bar, the text and the remedy.

    Args:
        reason: what cannot be read, and the remedy.
        bar: number of the bar, as written; None for the changes as a whole.
    """

    def __init__(self, reason: str, bar: int | None = None) -> None:
        super().__init__(reason if bar is None else f"bar {bar}: {reason}")
        self.reason, self.bar = reason, bar


@dataclass(frozen=True, slots=True)
class SectionText:
    """A section as it is written.

    Args:
        name: `A`, `bridge`, …; may be empty.
        bars: its text.
        key: the key it stands in; None for the form's home key.
    """

    name: str
    bars: str
    key: Key | None = None


def parse_form(
    name: str,
    home: Key,
    sections: Sequence[SectionText],
    *,
    order: Sequence[str] = (),
    transposes: bool = True,
) -> Form:
    """Read a form.

    Args:
        name: what the player calls it.
        home: its key.
        sections: its sections as written.
        order: names of sections in the order in which they are played, such as `A A B A`; empty for as written.
        transposes: whether it is studied in every key.

    Raises:
        ChangesError: there is no bar or more than `MOST_BARS`, a bar is empty, a bar line or repeat is unbalanced, a
            chord is not understood, a choice does not fit its chord, or `order` names a section that is not there.
    """
    read = list(_read(home, sections, _raised))
    form = Form(name, home, tuple(_in_order(read, order)), transposes)
    if not form.bars:
        raise ChangesError(f"{name!r} has no bars; write them as | ii7 | V7 | Imaj7 |")
    if len(form.bars) > MOST_BARS:
        raise ChangesError(f"{name!r} has {len(form.bars)} bars; a form has at most {MOST_BARS}")
    return form


def read_sections(
    home: Key, sections: Sequence[SectionText]
) -> tuple[tuple[Section, ...], tuple[tuple[ChangesError, ...], ...]]:
    """Read what can be read of sections that are still being written.

    Args:
        home: the key of the form.
        sections: its sections as written.

    Returns:
        The sections, a bar that cannot be read without chords; and the mistakes in each of them.
    """
    read: list[Section] = []
    mistakes: list[list[ChangesError]] = [[] for _ in sections]
    for section in _read(home, sections, lambda error: mistakes[len(read)].append(error)):
        read.append(section)
    return tuple(read), tuple(map(tuple, mistakes))


def _read(home: Key, texts: Sequence[SectionText], refuse: Callable[[ChangesError], None]) -> Iterator[Section]:
    written = 0
    for text in texts:
        reader = _Reader(text.key or home, written, refuse)
        reader.read(text.bars)
        written = reader.written
        yield Section(text.name, tuple(reader.bars))


def texts_of_bars(text: str) -> tuple[str, ...]:
    """Return what stands in each bar of a section as written, without bar lines.

    Args:
        text: the section.
    """
    found: list[str] = []
    for line in text.splitlines():
        lines = [token for token in TOKEN.finditer(line) if token[0] in BAR_LINES or token[0].startswith(":|")]
        found += [line[before.end() : after.start()].strip() for before, after in pairwise(lines)]
    return tuple(found)


def _in_order(sections: Sequence[Section], order: Sequence[str]) -> Iterator[Section]:
    by_name = {section.name: section for section in sections}
    if not order:
        yield from sections
    for name in order:
        if name not in by_name:
            raise ChangesError(f"there is no section {name!r}; {remedy(name, by_name)}")
        yield by_name[name]


def _raised(error: ChangesError) -> None:
    raise error


@dataclass
class _Reader:
    """Reads one section; what has been read so far.

    Args:
        key: the key in force.
        written: number of the last bar that was read.
        refuse: told each mistake; where it raises nothing, reading goes on behind the mistake.
        bars: the bars so far, repeats played out.
        repeat_from: index in `bars` where an open repeat began; None outside a repeat.
        inside: what was read of the bar since its bar line; None before the first one of a line.
    """

    key: Key
    written: int
    refuse: Callable[[ChangesError], None] = _raised
    bars: list[Bar] = field(default_factory=list)
    repeat_from: int | None = None
    inside: list[tuple[str, Key]] | None = None

    def read(self, text: str) -> None:
        """Read a section's text."""
        for line in filter(None, map(str.strip, text.splitlines())):
            with self._refused():
                self._read_line(line)
        if self.repeat_from is not None:
            self.refuse(ChangesError("the repeat that |: opens is not closed; end it with :|", self.written))

    @contextmanager
    def _refused(self) -> Iterator[None]:
        """Have mistakes of a block refused."""
        try:
            yield
        except ChangesError as error:
            self.refuse(error)

    def _read_line(self, line: str) -> None:
        self.inside = None
        for token in TOKEN.findall(line):
            with self._refused():
                self._read_token(token, line)
        if self.inside is None:
            raise self._error(f"{line!r} has no bar lines; write bars as | ii7 | V7 | Imaj7 |")
        if self.inside:
            raise self._error(f"the bar line after {self.inside[-1][0]!r} is missing; end the line with |")

    def _read_token(self, token: str, line: str) -> None:
        if token in BAR_LINES or token.startswith(":|"):
            before, self.inside = self.inside, []
            self._bar_line(token, before)
        elif token.endswith(":"):
            self.key = self._key(token)
        elif token.startswith("["):
            raise self._error(f"{token.strip()!r} is no chord; write a change of key with a colon, such as Bb:")
        elif self.inside is None:
            raise self._error(f"{token!r} stands before the first bar line of {line!r}; begin the line with |")
        else:
            self.inside.append((token, self.key))

    def _bar_line(self, token: str, inside: list[tuple[str, Key]] | None) -> None:
        if inside is not None:
            self._close_bar(inside)
        if token.startswith(":"):
            if self.repeat_from is None:
                raise ChangesError(":| closes a repeat that |: has not opened", self.written)
            if inside is None:
                raise self._error(":| cannot begin a line; end the line before with it")
            self.bars += self.bars[self.repeat_from :]
            self.repeat_from = None
        if token.endswith(":"):
            if self.repeat_from is not None:
                raise self._error("|: opens a repeat inside a repeat; close the first one with :|")
            self.repeat_from = len(self.bars)

    def _close_bar(self, inside: list[tuple[str, Key]]) -> None:
        chords: tuple[FormChord, ...] = ()
        with self._refused():
            chords = self._bar(inside)
        self.written += 1
        self.bars.append(Bar(self.written, chords))

    def _bar(self, inside: list[tuple[str, Key]]) -> tuple[FormChord, ...]:
        if not inside:
            raise self._error("the bar is empty; write a chord, or % to repeat the bar before")
        if [token for token, _ in inside] != ["%"]:
            return tuple(self._chords(inside))
        if not self.bars:
            raise self._error("% has no bar before it to repeat; write the chord")
        return tuple(replace(chord, bar=self.written + 1) for chord in self.bars[-1].chords)

    def _chords(self, inside: list[tuple[str, Key]]) -> Iterator[FormChord]:
        """Read the chords of a bar, each with the shares that it holds."""
        held: list[tuple[str, Key, int]] = []
        choices: dict[int, str] = {}
        for token, key in inside:
            if token.startswith("{"):
                if not held or len(held) - 1 in choices or len(token) < 3:
                    raise self._error(f"{token!r} overrules no chord; write {{colour}} or {{scale}} after the chord")
                choices[len(held) - 1] = token[1:-1].strip()
            elif token == "/":
                if not held:
                    raise self._error("/ holds the chord before it, and there is none in the bar")
                held[-1] = (*held[-1][:2], held[-1][2] + 1)
            else:
                held.append((token, key, 1))
        shares = _SHARES.get(sum(count for *_, count in held))
        if shares is None:
            raise self._error(f"{' '.join(token for token, *_ in held)!r} is more than {BEATS} chords in a bar")
        share = 0
        for number, (token, key, count) in enumerate(held):
            beat, beats = sum(shares[:share]) + 1, sum(shares[share : share + count])
            share += count
            yield self._chord(token, key, beat, beats, choices.get(number, ""))

    def _chord(self, token: str, key: Key, beat: int, beats: int, choice: str) -> FormChord:
        bass: Step | None = None
        target: Step | None = None
        try:
            if looks_like_numeral(token):
                numeral = Numeral.parse(token)
                step, kind, target = numeral.step, numeral.type, numeral.target
            else:
                symbol = ChordSymbol.parse(token)
                step, kind = _step_of(symbol, key), symbol.type
                bass = Step.of(symbol.bass, key) if symbol.bass else None
            kind = overruled(token, kind, choice)
        except TheoryError as error:
            raise self._error(str(error)) from None
        return FormChord(self.written + 1, beat, beats, key, step, kind, token, bass, target, choice)

    def _key(self, token: str) -> Key:
        if token == ":":
            raise self._error("the colon has no key before it; write the key and the colon together, such as Bb:")
        try:
            return Key.read(token[:-1])
        except TheoryError as error:
            raise self._error(str(error)) from None

    def _error(self, message: str) -> ChangesError:
        return ChangesError(message, self.written + 1)


def _step_of(symbol: ChordSymbol, key: Key) -> Step:
    """Return where a symbol's root lies; a dominant on a raised step is one on a lowered one that is spelled so."""
    step = Step.of(symbol.root, key)
    if step.alteration == 1 and symbol.type.is_dominant and step.lowered.tone_in(key) == symbol.root:
        return step.lowered
    return step
