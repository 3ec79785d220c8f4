"""Words: prompts, answers and reasons as a player says them, in the current language (`deckbuilder.speech`).

Everything here is plain text with ♭ and ♯; whoever writes it into a card escapes it.
"""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Final, Protocol

from deckbuilder.neck.regions import Region
from deckbuilder.neck.tuning import Place, pitch_label
from deckbuilder.speech import Language, _, current, marked, translate
from deckbuilder.theory.arpeggios import Arpeggio, Relation, Source
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import Key
from deckbuilder.theory.tones import Tone, pretty

_STRINGS: Final = (
    marked("1st string"),
    marked("2nd string"),
    marked("3rd string"),
    marked("4th string"),
    marked("5th string"),
    marked("6th string"),
    marked("7th string"),
    marked("8th string"),
    marked("9th string"),
    marked("10th string"),
)
_DEGREES: Final = {
    "2": marked("2nd"),
    "3": marked("3rd"),
    "4": marked("4th"),
    "5": marked("5th"),
    "6": marked("6th"),
    "7": marked("7th"),
    "9": marked("9th"),
    "11": marked("11th"),
    "13": marked("13th"),
}
SEPARATOR = " · "
"""Stands between the parts of a prompt."""
BAR_LINE = " | "
"""Stands between the bars of changes."""


def joined(*parts: str) -> str:
    """Join the parts of a prompt."""
    return SEPARATOR.join(part for part in parts if part)


def region_name(region: Region) -> str:
    """Name a region with its position: `region 5 (X)`."""
    if region.is_open:
        return _("region {number} (open)", number=region.number)
    return _("region {number} ({position})", number=region.number, position=region.position)


def region_title(region: Region) -> str:
    """Name a region with its position where its name stands alone: `Region 5 (X)`."""
    name = region_name(region)
    return name[0].upper() + name[1:]


def region_head(region: Region) -> str:
    """Name a region with its position in short: `region 5 · X`."""
    if region.is_open:
        return _("region {number} · open", number=region.number)
    return _("region {number} · {position}", number=region.number, position=region.position)


def chord_place(harmony: Harmony) -> str:
    """Name a chord by its place in the key: `V altered`, `ii`."""
    return f"{harmony.function.label} {translate(harmony.colour.label)}" if harmony.colour else harmony.function.label


_ARPEGGIOS: Final = {
    (Source.ROOT, False): marked("arpeggio from the root"),
    (Source.THIRD, False): marked("arpeggio from the third"),
    (Source.ROOT, True): marked("arpeggio from the root of the tritone substitute"),
    (Source.THIRD, True): marked("arpeggio from the third of the tritone substitute"),
}
"""An arpeggio by where it starts, and by whether the tritone substitute is named."""


def arpeggio_name(arpeggio: Arpeggio) -> str:
    """Name an arpeggio by chord and source: `V altered · arpeggio from the third`."""
    return joined(chord_place(arpeggio.harmony), translate(_ARPEGGIOS[arpeggio.source, False]))


def arpeggio_task(arpeggio: Arpeggio) -> str:
    """Name an arpeggio as a card asks for it: over an altered dominant it says whose root or third is meant."""
    name = _ARPEGGIOS[arpeggio.source, is_of_substitute(arpeggio)]
    return joined(chord_place(arpeggio.harmony), translate(name))


def arpeggio_over(arpeggio: Arpeggio, key: Key) -> str:
    """Name what an arpeggio serves: `over C7alt · V altered in F`, or `ii in F · the chord itself`."""
    if arpeggio.reason.relation is Relation.ITSELF:
        return _("{place} in {key} · the chord itself", place=chord_place(arpeggio.harmony), key=key.label)
    return over(arpeggio.harmony, key)


def source_question(arpeggio: Arpeggio) -> str:
    """Ask where an arpeggio starts: `Over C7, an arpeggio: from the root or from the third?`."""
    chord = arpeggio.harmony.label
    if is_of_substitute(arpeggio):
        return _(
            "Over {chord}, an arpeggio of the tritone substitute: from its root or from its third?",
            chord=chord,
        )
    return _("Over {chord}, an arpeggio: from the root or from the third?", chord=chord)


def is_of_substitute(arpeggio: Arpeggio) -> bool:
    """Tell whether an arpeggio starts from the tritone substitute rather than from the chord itself."""
    return arpeggio.reason.relation in (Relation.TRITONE_SUBSTITUTE, Relation.SUBSTITUTE_THIRD)


def hear_question(arpeggio: Arpeggio, rivals: Sequence[Harmony]) -> str:
    """Ask which arpeggio runs over a chord, so that the answer is one of four at least.

    A dominant is named without its colour: `Over V (C7): …`. Without its name a listener could not tell one altered
    dominant of the key from another. Another chord is to be told from its rivals by its sound.

    Args:
        arpeggio: the arpeggio.
        rivals: chords without a colour that may sound in its place, itself among them.

    Returns:
        The question; empty where the answer would be one of two.
    """
    harmony = arpeggio.harmony
    if harmony.function.is_dominant:
        return _(
            "Over {function} ({chord}), plain or altered: which arpeggio do you hear?",
            function=harmony.function.label,
            chord=harmony.chord.label,
        )
    if len(rivals) < _FEWEST_RIVALS:
        return ""
    return _(
        "Over {chords}: which chord is it, and does the arpeggio start from its root or from its third?",
        chords=one_of(f"{each.function.label} ({each.label})" for each in rivals),
    )


_FEWEST_RIVALS = 2


def changes_in_order(chords: Iterable[Harmony]) -> str:
    """Name changes by their functions: `ii–V–I`."""
    return "–".join(chord.function.label for chord in chords)


def basses(chords: Iterable[Harmony]) -> str:
    """Name the basses that are not their chords' roots: `In the bass: E under Cmaj7.`; empty where there are none."""
    named = [
        _("{bass} under {chord}", bass=chord.bass.label, chord=chord.upper.label) for chord in chords if chord.bass
    ]
    return _("In the bass: {basses}.", basses=listed(named)) if named else ""


def degree_word(degree: str) -> str:
    """Say a degree in a word, without its sign: `b7` as `7th`."""
    return translate(_DEGREES[degree.lstrip("b#")])


def with_degree(tone: Tone, chord: Harmony) -> str:
    """Name a tone with its degree: `A (3)`."""
    return f"{tone.label} ({pretty(chord.degree_of(tone))})"


def scale_task(harmony: Harmony | None) -> str:
    """Name a scale by what draws on it: `V altered · scale`, or the key's own."""
    return _("the key’s scale") if harmony is None else joined(chord_place(harmony), _("scale"))


def place_in_key(harmony: Harmony, key: Key) -> str:
    """Name a chord's place with its key: `V altered in F`."""
    return _("{place} in {key}", place=chord_place(harmony), key=key.label)


def over(harmony: Harmony, key: Key) -> str:
    """Name the chord an arpeggio or a scale serves: `over C7alt · V altered in F`."""
    return joined(_("over {chord}", chord=harmony.label), place_in_key(harmony, key))


def key_scale_over(chords: Iterable[Harmony], key: Key) -> str:
    """Name what the key's own scale serves: `over ii, V and I · the scale of F`."""
    return joined(_("over {chord}", chord=functions(chords)), _("the scale of {key}", key=key.label))


def missing(pitches: Iterable[int]) -> str:
    """Say which tones the hand cannot reach, by their pitch; empty where it reaches all."""
    names = [pitch_label(midi) for midi in pitches]
    return _("Out of the hand’s reach here: {tones}.", tones=", ".join(names)) if names else ""


def place_lines(places: Iterable[Place], capo: int = 0) -> tuple[str, ...]:
    """List places by string, low to high: `6th string: 8 10`.

    Args:
        places: where notes are fretted.
        capo: the fret at which a string is open, 0 for the nut.
    """
    by_string: dict[int, list[int]] = {}
    for place in places:
        by_string.setdefault(place.string, []).append(place.fret)
    named = {
        string: " ".join(_("open") if fret == capo else str(fret) for fret in sorted(set(frets)))
        for string, frets in sorted(by_string.items(), reverse=True)
    }
    return tuple(f"{string_name(string)}: {frets}" for string, frets in named.items())


def string_name(number: int) -> str:
    """Name a string by its number, the highest being 1: `6th string`."""
    return translate(_STRINGS[number - 1])


class _Marked(Protocol):
    """What lies at a place of the neck."""

    @property
    def string(self) -> int: ...

    @property
    def fret(self) -> int: ...


def picture_alt(title: str, places: Sequence[_Marked], labels: Sequence[str], capo: int = 0) -> str:
    """Describe a neck picture to someone who does not see it: `6th string: fret 10 is ♭7, fret 12 is 1; …`.

    Args:
        title: what is shown.
        places: what lies at the marked places, or these themselves.
        labels: what each mark says; empty strings for none.
        capo: the fret at which a string is open, 0 for the nut.
    """
    marks: dict[int, list[str]] = {}
    language = current().language
    for place, label in zip(places, labels, strict=True):
        fret = None if place.fret == capo else place.fret
        marks.setdefault(place.string, []).append(_mark_said(fret, label, language))
    rows = (f"{string_name(string)}: {', '.join(marks[string])}" for string in sorted(marks, reverse=True))
    return f"{title}: {'; '.join(rows)}."


@lru_cache(maxsize=2048)
def _mark_said(fret: int | None, label: str, _language: Language) -> str:
    """Say a mark in the language that is current: `fret 10 is ♭7`; None for an open string."""
    said = _("open") if fret is None else _("fret {number}", number=fret)
    return _("{fret} is {label}", fret=said, label=label) if label else said


def listed(parts: Iterable[str]) -> str:
    """List some names: `A, B and C`."""
    *most, last = parts
    return _("{most} and {last}", most=", ".join(most), last=last) if most else last


def one_of(parts: Iterable[str]) -> str:
    """List some names, one of which is meant: `A, B or C`."""
    *most, last = parts
    return _("{most} or {last}", most=", ".join(most), last=last) if most else last


def tone_name(tone: Tone, harmony: Harmony) -> str:
    """Name a tone, a guide tone also as the sounding chord spells it where that is another name: `F♭ = E`."""
    for guide in harmony.chord.guide_tones:
        if guide.pitch_class == tone.pitch_class and guide != tone:
            return f"{tone.label} = {guide.label}"
    return tone.label


def functions(chords: Iterable[Harmony]) -> str:
    """List the functions of chords, each once: `ii, V and I`."""
    return listed(dict.fromkeys(chord.function.label for chord in chords))
