"""Words: prompts, answers and reasons as a player says them.

Everything here is plain text with ♭ and ♯; whoever writes it into a card escapes it.
"""

from collections.abc import Iterable, Sequence

from deckbuilder.neck.regions import Region
from deckbuilder.neck.tuning import Place, pitch_label
from deckbuilder.theory.arpeggios import Arpeggio, Relation
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import Key
from deckbuilder.theory.tones import Tone, pretty

_ORDINALS = ("", "1st", "2nd", "3rd", *(f"{number}th" for number in range(4, 11)))
SEPARATOR = " · "
"""Stands between the parts of a prompt."""
BAR_LINE = " | "
"""Stands between the bars of changes."""


def joined(*parts: str) -> str:
    """Join the parts of a prompt."""
    return SEPARATOR.join(part for part in parts if part)


def region_name(region: Region) -> str:
    """Name a region with its position: `region 5 (X)`."""
    return f"region {region.number} ({region.position})"


def chord_place(harmony: Harmony) -> str:
    """Name a chord by its place in the key: `V altered`, `ii`."""
    return f"{harmony.function.label} {harmony.colour.label}" if harmony.colour else harmony.function.label


def arpeggio_name(arpeggio: Arpeggio) -> str:
    """Name an arpeggio by chord and source: `V altered · arpeggio from the third`."""
    return joined(chord_place(arpeggio.harmony), f"arpeggio from the {arpeggio.source}")


def arpeggio_task(arpeggio: Arpeggio) -> str:
    """Name an arpeggio as a card asks for it: over an altered dominant it says whose root or third is meant."""
    of = " of the tritone substitute" if is_of_substitute(arpeggio) else ""
    return f"{arpeggio_name(arpeggio)}{of}"


def source_question(arpeggio: Arpeggio) -> str:
    """Ask where an arpeggio starts: `Over C7, an arpeggio: from the root or from the third?`."""
    chord = arpeggio.harmony.label
    if is_of_substitute(arpeggio):
        return f"Over {chord}, an arpeggio of the tritone substitute: from its root or from its third?"
    return f"Over {chord}, an arpeggio: from the root or from the third?"


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
        own = f"Over {harmony.function.label} ({harmony.chord.label}), plain or altered"
        return f"{own}: which arpeggio do you hear?"
    if len(rivals) < _FEWEST_RIVALS:
        return ""
    chords = listed((f"{each.function.label} ({each.label})" for each in rivals), "or")
    return f"Over {chords}: which chord is it, and does the arpeggio start from its root or from its third?"


_FEWEST_RIVALS = 2


def changes_in_order(chords: Iterable[Harmony]) -> str:
    """Name changes by their functions: `ii–V–I`."""
    return "–".join(chord.function.label for chord in chords)


def basses(chords: Iterable[Harmony]) -> str:
    """Name the basses that are not their chords' roots: `In the bass: E under Cmaj7.`; empty where there are none."""
    named = [f"{chord.bass.label} under {chord.upper.label}" for chord in chords if chord.bass]
    return f"In the bass: {listed(named)}." if named else ""


def ordinal(degree: str) -> str:
    """Say a degree without its sign: `b7` as `7th`."""
    return _ORDINALS[int(degree.lstrip("b#"))]


def connection_question(first: Harmony, second: Harmony, start: str) -> str:
    """Ask for the nearest guide tone of the next chord: `From the ♭7 of C7alt: nearest guide tone of Fmaj7?`."""
    return f"From the {pretty(start)} of {first.label}: nearest guide tone of {second.label}?"


def connection_task(first: Harmony, second: Harmony, start: str) -> str:
    """Name a connection in short: `C7alt → Fmaj7 · from the ♭7`."""
    return joined(*connection_title(first, second, start))


def connection_title(first: Harmony, second: Harmony, start: str) -> tuple[str, str]:
    """Name the chords of a connection, and the degree that it starts from."""
    return f"{first.label} → {second.label}", f"from the {pretty(start)}"


def connection_step(first: Harmony, second: Harmony, start: Tone, ends: Sequence[tuple[Tone, int]]) -> str:
    """Say how a guide tone goes on: `B♭ falls a semitone to the 3 of Fmaj7`.

    Args:
        first: the chord that is left.
        second: the chord that follows.
        start: the guide tone.
        ends: the tones it goes to and the semitones up; more than one where they are as near.
    """
    (nearest, step), *others = ends
    becomes = f"the {pretty(second.degree_of(nearest))} of {second.label}"
    if step == 0:
        return f"stays: the {pretty(first.degree_of(start))} of {first.label} becomes {becomes}"
    also = (f", or {goes(other)} as far to the {pretty(second.degree_of(end))}" for end, other in others)
    return f"{start.label} {goes(step)} {interval(step)} to {becomes}{''.join(also)}"


def goes(step: int) -> str:
    """Say which way a voice moves."""
    return "rises" if step > 0 else "falls"


def connection_answer(second: Harmony, ends: Iterable[Tone]) -> str:
    """Name the nearest tones of a chord: `A (3)`, and where two are as near `F♯ (3) or C (♭7)`.

    Args:
        second: the chord.
        ends: its tones.
    """
    return listed((with_degree(tone, second) for tone in ends), "or")


def direction(step: int) -> str:
    """Name the direction of an interval."""
    return "up" if step > 0 else "down"


def with_degree(tone: Tone, chord: Harmony) -> str:
    """Name a tone with its degree: `A (3)`."""
    return f"{tone.label} ({pretty(chord.degree_of(tone))})"


_INTERVALS = ("", "a semitone", "a whole step", "a minor third", "a major third", "a fourth", "a tritone")


def interval(step: int) -> str:
    """Name an interval by its semitones, whichever way it goes."""
    size = abs(step)
    return _INTERVALS[size] if size < len(_INTERVALS) else f"{size} semitones"


def scale_task(harmony: Harmony | None) -> str:
    """Name a scale by what draws on it: `V altered · scale`, or the key's own."""
    return "the key’s scale" if harmony is None else joined(chord_place(harmony), "scale")


def over(harmony: Harmony, key: Key) -> str:
    """Name the chord an arpeggio or a scale serves: `over C7alt · V altered in F`."""
    return joined(f"over {harmony.label}", f"{chord_place(harmony)} in {key.label}")


def key_scale_over(chords: Iterable[Harmony], key: Key) -> str:
    """Name what the key's own scale serves: `over ii, V and I · the scale of F`."""
    return joined(f"over {functions(chords)}", f"the scale of {key.label}")


def missing(pitches: Iterable[int]) -> str:
    """Say which tones the hand cannot reach, by their pitch; empty where it reaches all."""
    names = [pitch_label(midi) for midi in pitches]
    return f"Out of the hand’s reach here: {', '.join(names)}." if names else ""


def place_lines(places: Iterable[Place], capo: int = 0) -> tuple[str, ...]:
    """List places by string, low to high: `6th string: 8 10`.

    Args:
        places: where notes are fretted.
        capo: the fret at which a string is open, 0 for the nut.
    """
    by_string: dict[int, list[int]] = {}
    for place in places:
        by_string.setdefault(place.string, []).append(place.fret)
    return tuple(
        f"{_ORDINALS[string]} string: {' '.join('open' if fret == capo else str(fret) for fret in sorted(set(frets)))}"
        for string, frets in sorted(by_string.items(), reverse=True)
    )


def picture_alt(title: str, places: Sequence[Place], labels: Sequence[str], capo: int = 0) -> str:
    """Describe a neck picture to someone who does not see it: `6th string: fret 10 is ♭7, fret 12 is 1; …`.

    Args:
        title: what is shown.
        places: the marked places.
        labels: what each mark says; empty strings for none.
        capo: the fret at which a string is open, 0 for the nut.
    """
    marks: dict[int, list[str]] = {}
    for place, label in zip(places, labels, strict=True):
        fret = "open" if place.fret == capo else f"fret {place.fret}"
        marks.setdefault(place.string, []).append(f"{fret} is {label}" if label else fret)
    rows = (f"{_ORDINALS[string]} string: {', '.join(marks[string])}" for string in sorted(marks, reverse=True))
    return f"{title}: {'; '.join(rows)}."


def listed(parts: Iterable[str], word: str = "and") -> str:
    """List some names: `A, B and C`.

    Args:
        parts: the names.
        word: what stands before the last.
    """
    *most, last = parts
    return f"{', '.join(most)} {word} {last}" if most else last


def tone_name(tone: Tone, harmony: Harmony) -> str:
    """Name a tone, a guide tone also as the sounding chord spells it where that is another name: `F♭ = E`."""
    own = next((guide for guide in harmony.chord.guide_tones if guide.pitch_class == tone.pitch_class), tone)
    return tone.label if own == tone else f"{tone.label} = {own.label}"


def functions(chords: Iterable[Harmony]) -> str:
    """List the functions of chords, each once: `ii, V and I`."""
    return listed(dict.fromkeys(chord.function.label for chord in chords))
