"""The first thing a new machine runs: `python3 -m prepare`, and `python3 -m prepare test` with what tests need.

This file must be understood by every Python, 2.7 included, so that one that is too old is told so in plain words.
"""

import sys

LOWEST = (3, 11)

if sys.version_info < LOWEST:
    sys.exit(
        "deckbuilder needs Python {0}.{1} or newer, and this is Python {2}.{3} ({4}). Nothing was installed. Install a "
        "newer one from python.org or your system's packages, and write its name in this command, such as: "
        "python{0}.{1} -m prepare".format(
            LOWEST[0], LOWEST[1], sys.version_info[0], sys.version_info[1], sys.executable
        )
    )

from prepare.environment import main

sys.exit(main(sys.argv[1:]))
