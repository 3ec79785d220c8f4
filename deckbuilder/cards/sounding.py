"""How a deck sounds: on the player's own SoundFont, or not at all."""

from dataclasses import replace

from deckbuilder.cards.cardtypes import CARD_TYPES
from deckbuilder.cards.facts import AnyKind, Slot
from deckbuilder.cards.note import Attachment, Note
from deckbuilder.cards.recipe import Recipe
from deckbuilder.medium import MediaType
from deckbuilder.sound.description import Clip, OwnSound, Patch


def needs_ear(kind: AnyKind) -> bool:
    """Tell whether a kind's question is something that sounds."""
    return any(Slot.CLIP in ask.front for row in CARD_TYPES.values() for ask in row.asks if ask.kind is kind)


def asked_kinds(recipe: Recipe) -> tuple[AnyKind, ...]:
    """Return a recipe's kinds, in a silent one without those that need the ear."""
    return tuple(kind for kind in recipe.kinds if not (recipe.sound.silent and needs_ear(kind)))


def own_sound(recipe: Recipe) -> OwnSound | None:
    """Return the SoundFont that plays a recipe's clips, with the preset of the player's instrument."""
    own, player = recipe.sound.soundfont, Patch(recipe.instrument.neck.tuning.patch)
    return replace(own, player=player, preset=recipe.sound.preset) if own else None


def sounding(note: Note, own: OwnSound | None, silent: bool) -> Note:
    """Return a note whose clips a SoundFont plays, or that has none.

    Args:
        note: the note.
        own: the SoundFont; None for the strings made here.
        silent: whether clips are left out.
    """
    if silent:
        heard = {slot for slot, made in note.media.items() if made.description.media_type is MediaType.SOUND}
        return replace(note, media={slot: made for slot, made in note.media.items() if slot not in heard})
    if own is None:
        return note
    return replace(note, media={slot: _played_by(own, made) for slot, made in note.media.items()})


def _played_by(own: OwnSound, made: Attachment) -> Attachment:
    clip = made.description
    return replace(made, description=replace(clip, own=own)) if isinstance(clip, Clip) else made
