"""What a file is called that somebody else named: a name that is safe to show, to keep and to write again."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import PurePosixPath

LONGEST = 120  # characters of one step; file systems stop at 255 bytes
STEPS = 4


def tidy(name: str) -> str:
    r"""The name with forward slashes, without control characters, and cut to what any disk can hold.

    >>> tidy("C:\\logs\\a\n.csv"), tidy("")
    ('C:/logs/a-.csv', 'log')
    """
    plain = "".join(c if c.isprintable() else "-" for c in name.replace("\\", "/"))
    steps = [shortened(step) for step in plain.split("/") if step.strip() not in ("", ".", "..")]
    return "/".join(steps[-STEPS:]) or "log"


def shortened(step: str) -> str:
    """One step of a name, its ending kept."""
    if len(step) <= LONGEST:
        return step
    ending = PurePosixPath(step).suffix[:16]
    return step[: LONGEST - len(ending)] + ending


def next_name(name: str, taken: Collection[str]) -> str:
    """The name with the first number before its ending that is free.

    >>> next_name("day/a.csv", ["day/a.csv"])
    'day/a-2.csv'
    """
    path, number = PurePosixPath(name), 2
    while (numbered := str(path.with_name(f"{path.stem}-{number}{path.suffix}"))) in taken:
        number += 1
    return numbered
