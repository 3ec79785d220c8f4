"""Context: where a note is asked — the key, the region and the instrument — and what follows from it once.

A card module takes a context and a chord and makes a note; what they share stands here.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from deckbuilder.cards.choices import Labels
from deckbuilder.cards.facts import AnyFact, Slot
from deckbuilder.cards.identity import Identity
from deckbuilder.cards.music import Music
from deckbuilder.cards.note import Attachment, Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.cards.spoken import spoken
from deckbuilder.cards.wording import Said, worded
from deckbuilder.neck.fingering import Fingering
from deckbuilder.neck.regions import OCTAVE, Region
from deckbuilder.sound.arrangement import chord_then_run, in_direction, shell_voicing
from deckbuilder.sound.description import Clip, Patch
from deckbuilder.speech import _
from deckbuilder.theory.chords import Chord
from deckbuilder.theory.functions import Harmony
from deckbuilder.theory.keys import Key
from deckbuilder.theory.scales import Scale
from deckbuilder.theory.tones import Tone, pretty

_SHELL_ROOTS = (28, 60)
"""Lowest and highest MIDI number from which roots of shell voicings are taken: a bass's E1, a ukulele's C4."""


_TONES_WITHIN = (0, 1, 2, 2, 2, 2, 3, 3, 3, 4, 4, 4)
"""Most tones of a maj7, 7, m7 or m7♭5 within so many neighbouring pitches, less than an octave of them."""


@dataclass(frozen=True, slots=True)
class Context:
    """Where a note is asked.

    Args:
        recipe: what the syllabus was asked to hold.
        key: the key.
        level: number of the level that brings the note.
    """

    recipe: Recipe
    key: Key
    level: int

    def identity(
        self,
        fact: AnyFact,
        region: Region | None,
        harmony: Harmony | None,
        source: str | None = None,
        item: str | None = None,
    ) -> Identity:
        """Say what a note is about.

        Args:
            fact: the kind of fact.
            region: the hand position; None for a fact about no place.
            harmony: the sounding chord; None for the key's own scale.
            source: where the arpeggio starts; None for a scale.
            item: what else the fact is about, ASCII; None where the rest says it all.
        """
        own_scale = harmony.own_scale if harmony else None
        return Identity(
            instrument=self.recipe.instrument.neck,
            fact=fact,
            key=self.key.name,
            region=region.number if region else None,
            region_count=self.recipe.instrument.regions,
            function=harmony.function.name if harmony else None,
            colour=harmony.colour.name if harmony and harmony.colour else None,
            source=source,
            item=item,
            scale=own_scale.symbol.replace(" ", "-") if own_scale else None,
        )

    def fingering(self, scale: Scale, region: Region) -> Fingering:
        """Finger a scale in a region."""
        return self.recipe.instrument.neck.fingering(scale.pitch_classes, region.index_fret)

    def note(self, identity: Identity, music: Music, said: Said, media: Mapping[Slot, Attachment]) -> Note:
        """Put a note together.

        Args:
            identity: what it is about.
            music: the fact as music.
            said: what only the fact itself can say.
            media: its pictures and clips; what a screen reader says of them is written out here.
        """
        named = {
            slot: Attachment(each.description, spoken(each.alt or _("Play the sound"))) for slot, each in media.items()
        }
        return Note(identity, self.level, music, worded(music, said, self.recipe.instrument.neck.capo), named)

    def labels(self, tones: Iterable[Tone], degrees: Iterable[str]) -> dict[int, str]:
        """Return what marks say, by pitch class: degrees or note names, as the recipe asks."""
        return {tone.pitch_class: self.label(tone, degree) for tone, degree in zip(tones, degrees, strict=True)}

    def label(self, tone: Tone, degree: str) -> str:
        """Return what a tone's mark says: its degree or its name, as the recipe asks."""
        return tone.label if self.recipe.labels is Labels.NAMES else pretty(degree)

    @property
    def longest_arpeggio(self) -> int:
        """Most notes of an arpeggio under one hand position, as its clips count: all last as long.

        So a clip's length tells nothing of the arpeggio it asks for. Counted over the compass of the open position,
        which is the widest: open strings, and the hand on the frets above.
        """
        neck = self.recipe.instrument.neck
        open_midi = neck.tuning.open_midi
        octaves, rest = divmod(max(open_midi) + neck.hand.span - min(open_midi) + 1, OCTAVE)
        return 4 * octaves + _TONES_WITHIN[rest]

    def shell(self, chord: Chord) -> tuple[int, ...]:
        """Return a chord's shell voicing in the instrument's low register, MIDI numbers."""
        _, third, _, seventh = chord.quality.semitones
        lowest, highest = _SHELL_ROOTS
        register = min(max(min(self.recipe.instrument.neck.sounding.open_midi), lowest), highest)
        return shell_voicing(chord.root.pitch_class, third, seventh, lowest=register)

    def clip(self, chord: Chord, run: tuple[int, ...], *, eighths: int = 0) -> Clip:
        """Describe the clip of a chord and a run of MIDI numbers.

        Args:
            chord: the chord, which sounds first unless the recipe leaves it out.
            run: the run, ascending.
            eighths: notes of the longest run that lasts no longer than this one, whose last note is held on.
        """
        recipe = self.recipe
        return chord_then_run(
            self.shell(chord),
            run,
            tempo=recipe.sound.tempo,
            a4=recipe.sound.a4,
            direction=recipe.sound.direction,
            chord_on=recipe.sound.chord,
            eighths=len(in_direction(range(eighths), recipe.sound.direction)),
        ).played_on(self.patch)

    def question_clip(self, chord: Chord, run: tuple[int, ...]) -> Clip:
        """Describe a clip that asks how some tones lie over a chord: the chord, then the tones as they are given."""
        sound = self.recipe.sound
        return chord_then_run(self.shell(chord), run, tempo=sound.tempo, a4=sound.a4).played_on(self.patch)

    @property
    def patch(self) -> Patch:
        """What the player's instrument sounds like."""
        return Patch(self.recipe.instrument.neck.tuning.patch)
