"""Command line: commands, their options, progress bars, messages and exit status.

Large libraries are imported inside the commands, so that help comes at once.
"""

from deckbuilder.cli.group import main

__all__ = ["main"]
