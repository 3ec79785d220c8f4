"""Measure what check-ups find: `.venv/bin/python -m tests.bench.checkup`.

For each kind of player, 200 of them answer two successive rounds of the default deck at first sight.
"""

from tests.progress.players import STEADY, WEAK, deck, measured

PLAYERS = 200


def main() -> None:
    """Print a row for each kind of player."""
    cards = deck()
    print("| player | weak spot found | told of another |")
    print("|---|---|---|")
    for case in (*WEAK, *STEADY):
        found, false = measured(case, cards, PLAYERS)
        print(f"| {case.name} | {f'{found:.1%}' if case.spot else '–'} | {false:.1%} |", flush=True)


if __name__ == "__main__":
    main()
