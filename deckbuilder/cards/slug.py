"""Names in ASCII, as ids, tags and file names have them."""

import hashlib
import re
import unicodedata


def slug(name: str) -> str:
    """Return a name as ids, tags and file names have it, ASCII and lower case: `Blues in F♯` as `blues-in-f-sharp`.

    Where ASCII has no place for letters, digits or symbols that tell names apart, a digest of the name stands for them:
    `Блюз in F` as `in-f-` and eight digits. An ASCII name never has one.

    Args:
        name: one line of text.

    Returns:
        Words joined by `-`; empty for a name of punctuation alone.
    """
    plain = _composed(name).replace("♯", "#").replace("♭", "b").replace("#", "-sharp").lower()
    words = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")
    lost = any(not sign.isascii() and unicodedata.category(sign)[0] in _TELLING for sign in plain)
    return "-".join(filter(None, (words, digest(plain) if lost else "")))


def digest(text: str) -> str:
    """Return eight hexadecimal digits that tell a text from others, however its accents are encoded."""
    return hashlib.sha256(_composed(text).encode()).hexdigest()[:8]


_TELLING = "LMNS"
"""Unicode's categories of letters, marks, digits and symbols: they tell names apart; punctuation and spaces do not."""


def _composed(text: str) -> str:
    """Return a text with each accent in one piece with its letter, as most keyboards write it."""
    return unicodedata.normalize("NFC", text)
