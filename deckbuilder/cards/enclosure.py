"""Enclosure notes: a guide tone of a chord between its neighbours, in a region.

The target has the chord's name, the step above it the scale's; a semitone below that is not in the scale is named on
the letter below the target. The picture and the clip have every octave in which the hand holds all three.
"""

from collections.abc import Iterator
from typing import Final

from deckbuilder.cards import words
from deckbuilder.cards.context import Context
from deckbuilder.cards.facts import Fact, Slot
from deckbuilder.cards.music import Music, guide_tones, played
from deckbuilder.cards.neckviews import alt_text, empty_neck, path_view
from deckbuilder.cards.note import Attachment, Note
from deckbuilder.cards.wording import Said
from deckbuilder.lines.position import Position, reach
from deckbuilder.neck.enclosures import Enclosure, enclosures
from deckbuilder.neck.regions import Region
from deckbuilder.sound.approach import approached
from deckbuilder.speech import _
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.tones import Tone, pretty

_LETTERS: Final = "CDEFGAB"


def enclosure_notes(context: Context, region: Region, harmony: Harmony) -> Iterator[Note]:
    """Make the notes of both guide tones of a chord, each enclosed; none for one that the hand cannot enclose.

    Args:
        context: key, instrument and level.
        region: the hand position.
        harmony: the chord that sounds.
    """
    position = Position(context.recipe.instrument.neck, region.index_fret)
    for target in harmony.chord.guide_tones:
        above = step_above(harmony, target)
        step = (above.pitch_class - target.pitch_class) % 12
        found = enclosures(reach(position, harmony.scale.pitch_classes), target.pitch_class, step)
        if found:
            yield _note(context, region, harmony, (above, semitone_below(harmony, target), target), found)


def step_above(harmony: Harmony, target: Tone) -> Tone:
    """Return the tone of a chord's scale next above one of its tones."""
    return min(
        (tone for tone in harmony.scale.tones if tone.pitch_class != target.pitch_class),
        key=lambda tone: (tone.pitch_class - target.pitch_class) % 12,
    )


def semitone_below(harmony: Harmony, target: Tone) -> Tone:
    """Return the tone a semitone below, named by the scale where it has it, else on the next letter down."""
    pitch_class = (target.pitch_class - 1) % 12
    own = [tone for tone in harmony.scale.tones if tone.pitch_class == pitch_class]
    letter = Tone(_LETTERS[_LETTERS.index(target.letter) - 1])
    accidental = (pitch_class - letter.pitch_class + 6) % 12 - 6
    return own[0] if own else Tone(letter.letter, accidental).simplified()


def _note(
    context: Context,
    region: Region,
    harmony: Harmony,
    tones: tuple[Tone, Tone, Tone],
    found: tuple[Enclosure, ...],
) -> Note:
    recipe = context.recipe
    above, below, target = tones
    degrees = tuple(map(harmony.degree_of, tones))
    labels = context.labels(tones, degrees)
    picture = path_view(
        recipe,
        region,
        context.fingering(harmony.scale, region).notes,
        starts={},
        ends={
            note.place: (labels[note.midi % 12], note.midi % 12 == target.pitch_class)
            for each in found
            for note in each
        },
        paths=[
            tuple((note.place.string, note.place.fret) for note in (neighbour, each.target))
            for each in found
            for neighbour in (each.above, each.below)
        ],
    )
    where, degree = words.region_name(region), pretty(degrees[-1])
    asked = _("Enclose the {degree} of {chord}", degree=degree, chord=harmony.label)
    clip = approached(
        context.shell(harmony.chord),
        [tuple(note.midi for note in each) for each in found],
        tempo=recipe.sound.tempo,
        a4=recipe.sound.a4,
    )
    return context.note(
        context.identity(Fact.ENCLOSURE, region, harmony, item=f"around-{degrees[-1]}"),
        Music(
            context.key,
            (harmony,),
            target.name,
            region,
            tones,
            degrees,
            guide_tones(harmony) & {target.pitch_class},
            played((note for each in found for note in each), tones, degrees),
        ),
        Said(
            asks=(where, asked),
            task=words.joined(asked, _("scale step above, semitone below, target")),
            label="–".join(tone.label for tone in tones),
            over=words.over(harmony, context.key),
            why=_(
                "{above} is the scale step above and {below} the semitone below; both lead into {target}, the {degree} "
                "of {chord}, which comes on the beat.",
                above=above.label,
                below=below.label,
                target=target.label,
                degree=degree,
                chord=harmony.label,
            ),
        ),
        {
            Slot.PICTURE: Attachment(
                picture,
                alt_text(
                    _("{tone} enclosed over {chord}, {place}", tone=target.label, chord=harmony.label, place=where),
                    picture,
                ),
            ),
            Slot.EMPTY_NECK: empty_neck(picture),
            Slot.CLIP: Attachment(clip.played_on(context.patch), _("Play the enclosed tone")),
        },
    )
