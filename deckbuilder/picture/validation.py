"""Whether a description can be drawn; every fault is refused with what would be right."""

from dataclasses import replace

from deckbuilder.picture.description import NeckPicture, NeckSheet
from deckbuilder.picture.geometry import PictureError
from deckbuilder.picture.paths import SHORTEST

FEWEST_STRINGS, MOST_STRINGS = 3, 10
HIGHEST_FRET = 36
LONGEST_LABEL = 4
MOST_PICTURES = 12
WIDEST_HAND = 9


def validate(picture: NeckPicture) -> None:
    """Refuse a picture that cannot be drawn truthfully.

    Args:
        picture: the description.

    Raises:
        PictureError: the window, a mark, a path, a visit, a name or the capo is out of bounds.
    """
    _validate_window(picture)
    _validate_marks(picture)
    _validate_paths(picture)
    _validate_names(picture)


def validate_sheet(sheet: NeckSheet) -> None:
    """Refuse a sheet that cannot be drawn truthfully.

    Args:
        sheet: the description.

    Raises:
        PictureError: a picture is out of bounds, or the pictures do not belong together.
    """
    if not sheet.pictures or len(sheet.pictures) > MOST_PICTURES:
        raise PictureError(f"{len(sheet.pictures)} pictures on a sheet; give 1 to {MOST_PICTURES}")
    if len(sheet.titles) not in (0, len(sheet.pictures)):
        raise PictureError(f"{len(sheet.titles)} titles for {len(sheet.pictures)} pictures; give one each, or none")
    if len({replace(picture.window, first_fret=0, last_fret=1, index_fret=None) for picture in sheet.pictures}) > 1:
        raise PictureError("the pictures of a sheet show different necks; give all the same strings, hand and capo")
    for text in (text for title in sheet.titles for text in title):
        if not text.isprintable():
            raise PictureError(f"title {text!r} cannot be printed; give one line of text")
    if not all(name.strip() for name, _ in sheet.titles):
        raise PictureError("a picture on a sheet has no title; give it one")
    for picture in sheet.pictures:
        validate(picture)


def _validate_window(picture: NeckPicture) -> None:
    first, last = picture.first_fret, picture.last_fret
    if not FEWEST_STRINGS <= picture.strings <= MOST_STRINGS:
        raise PictureError(f"{picture.strings} strings; a neck has {FEWEST_STRINGS} to {MOST_STRINGS}")
    if not (0 <= first <= last and 1 <= last <= HIGHEST_FRET):
        raise PictureError(
            f"frets {first} to {last} are no window of the neck; "
            f"give a first fret from 0 and a last fret not below it, from 1 to {HIGHEST_FRET}"
        )
    if picture.index_fret is not None and not first <= picture.index_fret <= last:
        raise PictureError(f"index fret {picture.index_fret} is outside the window, frets {first} to {last}")
    if not 1 <= picture.hand_span <= WIDEST_HAND:
        raise PictureError(f"a hand of {picture.hand_span} frets; give 1 to {WIDEST_HAND}")
    if not 0 <= picture.capo <= last:
        raise PictureError(f"capo at fret {picture.capo}; give 0 for none or a fret up to the last, {last}")
    if picture.index_fret is not None and picture.index_fret < picture.capo:
        raise PictureError(f"index fret {picture.index_fret} is behind the capo at fret {picture.capo}")


def _validate_marks(picture: NeckPicture) -> None:
    lowest = max(picture.first_fret, picture.capo)
    taken: set[tuple[int, int]] = set()
    for mark in picture.marks:
        place = f"string {mark.string}, fret {mark.fret}"
        if not 1 <= mark.string <= picture.strings:
            raise PictureError(f"mark on {place}: strings are numbered 1 to {picture.strings}")
        if not lowest <= mark.fret <= picture.last_fret:
            raise PictureError(f"mark on {place}: playable frets shown are {lowest} to {picture.last_fret}")
        if (mark.string, mark.fret) in taken:
            raise PictureError(f"two marks on {place}; give each place one mark")
        taken.add((mark.string, mark.fret))
        if len(mark.label) > LONGEST_LABEL or not mark.label.isprintable():
            raise PictureError(f"label {mark.label!r} on {place}: give at most {LONGEST_LABEL} printable characters")


def _validate_paths(picture: NeckPicture) -> None:
    marked = {(mark.string, mark.fret) for mark in picture.marks}
    for path in picture.paths:
        if len(path) < SHORTEST:
            raise PictureError(f"a path visits {len(path)} places; give it at least {SHORTEST}")
        for string, fret in path:
            if (string, fret) not in marked:
                raise PictureError(f"a path visits string {string}, fret {fret}, where there is no mark; give it one")


def _validate_names(picture: NeckPicture) -> None:
    names = picture.string_names
    if names and len(names) != picture.strings:
        raise PictureError(f"{len(names)} string names for {picture.strings} strings; give one each or none")
    for name in names:
        if len(name) > LONGEST_LABEL or not name.isprintable():
            raise PictureError(f"string name {name!r}: give at most {LONGEST_LABEL} printable characters")
