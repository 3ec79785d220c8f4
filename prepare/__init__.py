"""Sets up what a command of README needs, before anything is installed: `python3 -m prepare`, standard library only."""
