"""The program: interruptions are taken before anything large is loaded, and the surroundings made fit for it."""

import gc
import sys

from deckbuilder import interruption


def main() -> None:
    """Run the command line and end the program."""
    interruption.watch()
    try:
        from deckbuilder.cli.surroundings import prepare

        prepare()
        from deckbuilder.cli import main as commands

        commands()
    except Exception:
        # A library may answer an interruption with an error of its own.
        if not interruption.came():
            raise
        sys.exit(interruption.tell())
    except KeyboardInterrupt:
        sys.exit(interruption.tell())
    finally:
        interruption.end_watch()
        # All that is left goes with the process; Python would look through it for cycles first.
        gc.freeze()


if __name__ == "__main__":
    main()
