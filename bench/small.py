"""The short waits: thirty cards as PNG, and the front page of the help: ``python -m bench.small``.

Each is told beside a floor measured in the same run: thirty empty cards from the same renderer, and an
interpreter that imports the command-line library and nothing else.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from itertools import cycle, islice
from pathlib import Path

from evenhand.demo.saltmarsh import saltmarsh
from evenhand.desk.comparison.charting import draw_study
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.opening import present
from evenhand.publish.picture import Picture, to_png
from evenhand.store.workbench import open_workbench

CARDS, ROUNDS = 30, 5
BARE = ("-c", "import click")
EMPTY = Picture(
    svg='<svg xmlns="http://www.w3.org/2000/svg" width="1920" height="1080" viewBox="0 0 1920 1080">'
    '<title>-</title><desc>-</desc><rect width="1920" height="1080" fill="#f3f5f3"/></svg>',
    width=1920,
    height=1080,
    title="-",
    description="-",
)


def main() -> None:
    """Measure and print a table."""
    cards = list(islice(cycle(example_cards()), CARDS))
    rows = (
        (
            "30 cards as PNG, one process",
            partial(paint, cards),
            "empty cards",
            partial(paint, [EMPTY] * CARDS),
        ),
        ("`--help`", partial(python, "-m", "evenhand", "--help"), "library alone", partial(python, *BARE)),
    )
    print("| what | median, s | floor in the same run, s | ratio |\n|---|---|---|---|")
    for what, work, least, floor_work in rows:
        ours, floor = timed(work), timed(floor_work)
        print(f"| {what} | {ours:.3f} | {floor:.3f} ({least}) | {ours / floor:.1f} |")


def example_cards() -> list[Picture]:
    """Every card of the Saltmarsh example."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "study"
        for name, data in saltmarsh().items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_bytes(data)
        with open_workbench(Path(scratch) / "bench.evenhand") as wb:
            import_folder(wb, folder, now=present())
            return [drawn.picture for drawn in draw_study(wb, "saltmarsh", now=present())]


def paint(cards: list[Picture]) -> None:
    """All cards to PNG."""
    for picture in cards:
        to_png(picture)


def python(*arguments: str) -> None:
    """One interpreter, start to end."""
    subprocess.run([sys.executable, *arguments], check=True, stdout=subprocess.DEVNULL)


def timed(work: Callable[[], None]) -> float:
    """The median of a few rounds after one that does not count."""
    work()
    spent = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        work()
        spent.append(time.perf_counter() - start)
    return statistics.median(spent)


if __name__ == "__main__":
    main()
