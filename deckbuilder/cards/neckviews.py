"""Neck views: the pictures of a note, as descriptions.

A region shows one fret on either side of the hand; a spelling shows the whole neck up to the twelfth fret.
"""

from collections.abc import Iterable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace

from deckbuilder.neck.fingering import SPAN, FingeredNote
from deckbuilder.neck.regions import Region
from deckbuilder.neck.tuning import Place, Tuning
from deckbuilder.picture.description import Mark, NeckPicture, NeckSheet, Role

OCTAVE_FRET = 12


def region_view(
    tuning: Tuning,
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
        tuning: the open strings.
        region: the hand position.
        scale: the scale's fingering.
        asked: pitch classes that stand out.
        guides: pitch classes of the sounding chord's guide tones.
        roots: pitch classes of the roots of the arpeggios or the scale.
        labels: what to write into the marks, by pitch class.
    """
    marks = []
    for note in scale:
        pitch_class = note.midi % 12
        if pitch_class in asked:
            role = Role.GUIDE if pitch_class in guides else Role.TONE
            marks.append(_mark(note.place, role, labels[pitch_class], pitch_class in roots))
        else:
            marks.append(_mark(note.place, Role.SCALE))
    return _window(tuning, region, marks)


def bare_region_view(tuning: Tuning, region: Region, run: Iterable[FingeredNote]) -> NeckPicture:
    """Describe a region with the notes of a run, all alike: the shape is the question.

    Args:
        tuning: the open strings.
        region: the hand position.
        run: the notes to show.
    """
    return _window(tuning, region, [_mark(note.place, Role.TONE) for note in run])


def whole_neck_view(
    tuning: Tuning, names: Mapping[int, str], *, guides: AbstractSet[int], root: int, frets: int
) -> NeckPicture:
    """Describe every place of some tones from the nut to the twelfth fret, labelled with note names.

    Args:
        tuning: the open strings.
        names: the tones' names by pitch class.
        guides: pitch classes of the sounding chord's guide tones.
        root: pitch class of the arpeggio's root.
        frets: highest fret of the neck.
    """
    last = min(OCTAVE_FRET, frets)
    marks = []
    for string, open_midi in tuning.numbered():
        for fret in range(last + 1):
            pitch_class = (open_midi + fret) % 12
            if pitch_class in names:
                role = Role.GUIDE if pitch_class in guides else Role.TONE
                marks.append(_mark(Place(string, fret), role, names[pitch_class], pitch_class == root))
    return NeckPicture(tuning.strings, 0, last, None, tuple(marks), tuning.string_labels)


def stacked(pictures: Sequence[NeckPicture], titles: Sequence[tuple[str, str]]) -> NeckSheet:
    """Lay pictures of one region under each other, all with the frets that any of them shows.

    Args:
        pictures: what each shows.
        titles: a name and a remark for each.
    """
    first = min(picture.first_fret for picture in pictures)
    last = max(picture.last_fret for picture in pictures)
    return NeckSheet(tuple(replace(picture, first_fret=first, last_fret=last) for picture in pictures), tuple(titles))


def marked_places(picture: NeckPicture) -> tuple[Sequence[Place], Sequence[str]]:
    """Return the places and labels of the marks that are asked for, for a description in words."""
    asked = [mark for mark in picture.marks if mark.role is not Role.SCALE]
    return [Place(mark.string, mark.fret) for mark in asked], [mark.label for mark in asked]


def _window(tuning: Tuning, region: Region, marks: Sequence[Mark]) -> NeckPicture:
    used = [mark.fret for mark in marks]
    index = region.index_fret
    first, last = min([max(index - 1, 0), *used]), max([index + SPAN, *used])
    return NeckPicture(tuning.strings, first, last, index, tuple(marks), tuning.string_labels)


def _mark(place: Place, role: Role, label: str = "", root: bool = False) -> Mark:
    return Mark(place.string, place.fret, role, label, root)
