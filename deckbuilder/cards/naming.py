"""How tones are named, told once with a deck: where names are not the English ones, a B may be taken for another."""

from deckbuilder.speech import Names, _, current


def names_told() -> str:
    """Say how tones are named; empty where they have their English names."""
    match current().names:
        case Names.GERMAN:
            return _("Notes have their German names: H is the English B, and B is B♭.")
        case Names.SOLFEGE:
            return _("Notes have the names of fixed do: Do is C, Ré is D, and so on to Si, which is B.")
        case Names.ENGLISH:
            return ""
