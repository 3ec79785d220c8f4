"""Neck views: the pictures of a note, as descriptions.

A region shows one fret on either side of the hand; a spelling shows the whole neck up to the twelfth fret.
"""

from collections.abc import Iterable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace
from functools import lru_cache

from deckbuilder.cards import words
from deckbuilder.cards.choices import Hand
from deckbuilder.cards.facts import Slot
from deckbuilder.cards.note import Attachment
from deckbuilder.cards.recipe import Recipe
from deckbuilder.neck.fingering import FingeredNote
from deckbuilder.neck.regions import OCTAVE, Region
from deckbuilder.neck.tuning import Place
from deckbuilder.picture.description import Mark, NeckPicture, NeckSheet, Role, Size
from deckbuilder.speech import Language, _, current, in_context


def region_view(
    recipe: Recipe,
    region: Region,
    scale: Iterable[FingeredNote],
    *,
    asked: AbstractSet[int],
    guides: AbstractSet[int],
    roots: AbstractSet[int],
    labels: Mapping[int, str],
) -> NeckPicture:
    """Describe a region with an arpeggio or a scale standing out from the scale around it.

    Args:
        recipe: the instrument and the hand that plays it.
        region: the hand position.
        scale: the scale's fingering.
        asked: pitch classes that stand out.
        guides: pitch classes of the sounding chord's guide tones.
        roots: pitch classes of the roots of the arpeggios or the scale.
        labels: what to write into the marks, by pitch class.
    """
    looks = {
        each: (Role.GUIDE if each in guides else Role.TONE, labels[each], each in roots) if each in asked else _QUIET
        for each in range(12)
    }
    return _window(recipe, region, [_mark(note.place, *looks[note.midi % 12]) for note in scale])


_QUIET = (Role.SCALE, "", False)
"""How a tone of the surrounding scale looks."""


def bare_region_view(recipe: Recipe, region: Region, run: Iterable[FingeredNote]) -> NeckPicture:
    """Describe a region with the notes of a run, all alike: the shape is the question.

    Args:
        recipe: the instrument and the hand that plays it.
        region: the hand position.
        run: the notes to show.
    """
    return _window(recipe, region, [_mark(note.place, Role.TONE) for note in run])


def start_view(recipe: Recipe, region: Region, starts: Mapping[Place, str]) -> NeckPicture:
    """Describe a region with the places that a question starts from.

    Args:
        recipe: the instrument and the hand that plays it.
        region: the hand position.
        starts: their labels, by place.
    """
    return _window(recipe, region, [_mark(place, Role.GUIDE, label) for place, label in starts.items()])


def path_view(
    recipe: Recipe,
    region: Region,
    scale: Iterable[FingeredNote],
    *,
    starts: Mapping[Place, str],
    ends: Mapping[Place, tuple[str, bool]],
    paths: Sequence[Sequence[tuple[int, int]]],
) -> NeckPicture:
    """Describe a region with ways from tone to tone, a tone that stays labelled as what it becomes.

    Args:
        recipe: the instrument and the hand that plays it.
        region: the hand position.
        scale: the fingering of the scale that the ways lead into.
        starts: labels of guide tones that are left, by place.
        ends: labels of the tones that are reached, by place, and whether they are guide tones.
        paths: the ways, as string and fret.
    """
    marks = {place: _mark(place, Role.GUIDE, label) for place, label in starts.items()}
    for place, (label, is_guide) in ends.items():
        marks[place] = _mark(place, Role.GUIDE if is_guide else Role.TONE, label)
    quiet = [_mark(note.place, Role.SCALE) for note in scale if note.place not in marks]
    return replace(_window(recipe, region, [*quiet, *marks.values()]), paths=tuple(tuple(path) for path in paths))


def placed_view(
    recipe: Recipe, notes: Mapping[Place, tuple[str, bool, bool]], region: Region | None = None
) -> NeckPicture:
    """Describe some places, in a region or wherever they lie, with a fret on either side.

    Args:
        recipe: the instrument and the hand that plays it.
        notes: labels by place, whether the tone is a guide tone, and whether it is a root.
        region: the hand position; None for places about no region.
    """
    marks = [
        _mark(place, Role.GUIDE if guide else Role.TONE, label, root) for place, (label, guide, root) in notes.items()
    ]
    if region:
        return _window(recipe, region, marks)
    neck, used = recipe.instrument.neck, [place.fret for place in notes]
    return _picture(recipe, max(min(used) - 1, neck.capo), min(max(used) + 1, neck.frets), None, marks)


def whole_neck_view(
    recipe: Recipe, names: Mapping[int, str], *, guides: AbstractSet[int], root: int
) -> NeckPicture | NeckSheet:
    """Describe every place of some tones over twelve frets from the nut or the capo, labelled with note names.

    Large letters have no room on so many frets at once: then the neck is in two halves, the lower frets above.

    Args:
        recipe: the instrument and the hand that plays it.
        names: the tones' names by pitch class.
        guides: pitch classes of the sounding chord's guide tones.
        root: pitch class of the arpeggio's root.
    """
    capo = recipe.instrument.neck.capo
    # A capo takes a fret's room: the octave of the open strings, which they only repeat, gives way to it.
    last = min(capo + OCTAVE - (1 if capo else 0), recipe.instrument.neck.frets)
    marks = []
    for string, open_midi in recipe.instrument.neck.tuning.numbered():
        for fret in range(capo, last + 1):
            pitch_class = (open_midi + fret) % 12
            if pitch_class in names:
                role = Role.GUIDE if pitch_class in guides else Role.TONE
                marks.append(_mark(Place(string, fret), role, names[pitch_class], pitch_class == root))
    whole = _picture(recipe, capo, last, None, marks)
    if recipe.picture.size is Size.USUAL:
        return whole
    middle = (capo + last) // 2
    return NeckSheet(tuple(_part(whole, *frets) for frets in ((capo, middle), (middle + 1, last))))


def _part(whole: NeckPicture, first: int, last: int) -> NeckPicture:
    """Return some frets of a picture."""
    marks = tuple(mark for mark in whole.marks if first <= mark.fret <= last)
    return replace(whole, first_fret=first, last_fret=last, marks=marks)


def stacked(pictures: Sequence[NeckPicture], titles: Sequence[tuple[str, str]]) -> NeckSheet:
    """Lay pictures of one region under each other, all with the frets that any of them shows.

    Args:
        pictures: what each shows.
        titles: a name and a remark for each.
    """
    first = min(picture.first_fret for picture in pictures)
    last = max(picture.last_fret for picture in pictures)
    return NeckSheet(tuple(_showing(picture, first, last) for picture in pictures), tuple(titles))


def _showing(picture: NeckPicture, first: int, last: int) -> NeckPicture:
    if (picture.first_fret, picture.last_fret) == (first, last):
        return picture
    return replace(picture, first_fret=first, last_fret=last)


def alt_text(title: str, picture: NeckPicture | NeckSheet) -> str:
    """Describe a picture's marks in words, those of the surrounding scale left out.

    Args:
        title: what is shown.
        picture: the picture.
    """
    asked = [mark for mark in picture.marks if mark.role is not Role.SCALE]
    return words.picture_alt(title, asked, [mark.label for mark in asked], picture.capo)


def neck_attachments(picture: NeckPicture, title: str, bare: NeckPicture, bare_title: str) -> dict[Slot, Attachment]:
    """Return the pictures of a fact in a region: the answer, the shape that is asked for, and the empty neck.

    Args:
        picture: the answer.
        title: what it shows.
        bare: the shape, which is the question.
        bare_title: what that shows.
    """
    return {
        Slot.PICTURE: Attachment(picture, alt_text(title, picture)),
        Slot.QUESTION_PICTURE: Attachment(bare, alt_text(bare_title, bare)),
        Slot.EMPTY_NECK: empty_neck(picture),
    }


def empty_neck(picture: NeckPicture) -> Attachment:
    """Return the window of a picture with nothing marked: the neck that a place is asked on."""
    return _emptied(picture.window, current().language)


@lru_cache(maxsize=1024)
def _emptied(empty: NeckPicture, _language: Language) -> Attachment:
    """Return an empty neck, the same one for all that is asked on it."""
    return Attachment(
        empty,
        _("The neck from fret {first} to fret {last}, nothing marked.", first=empty.first_fret, last=empty.last_fret),
    )


def _window(recipe: Recipe, region: Region, marks: Sequence[Mark]) -> NeckPicture:
    used = [mark.fret for mark in marks]
    neck, index = recipe.instrument.neck, region.index_fret
    first = min([max(index - 1, neck.capo), *used])
    last = max([min(index + neck.hand.span, neck.frets), *used])
    return _picture(recipe, first, last, index, marks)


def _picture(recipe: Recipe, first: int, last: int, index: int | None, marks: Sequence[Mark]) -> NeckPicture:
    sounding = recipe.instrument.neck.sounding
    return NeckPicture(
        strings=sounding.strings,
        first_fret=first,
        last_fret=last,
        index_fret=index,
        marks=tuple(marks),
        string_names=sounding.string_labels,
        left_handed=recipe.instrument.hand is Hand.LEFT,
        capo=recipe.instrument.neck.capo,
        hand_span=recipe.instrument.neck.hand.span,
        open_name=in_context("position", "open"),
        ground=recipe.picture.ground,
        size=recipe.picture.size,
        turned_over=recipe.instrument.turned_over,
    )


def _mark(place: Place, role: Role, label: str = "", root: bool = False) -> Mark:
    return _known_mark(place.string, place.fret, role, label, root)


_known_mark = lru_cache(maxsize=4096)(Mark)
"""Makes a mark, the same one again where it is known: a neck has few, and a deck shows each a dozen times."""
