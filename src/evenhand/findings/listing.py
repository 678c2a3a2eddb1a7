"""Things in a row whose own words may hold commas: names and values are anybody's."""

from __future__ import annotations

from collections.abc import Mapping, Sequence


def in_a_row(things: Sequence[str]) -> str:
    """Things as one says them; parted by semicolons where one of them holds a comma or an "and" of its own.

    >>> in_a_row(["a", "b", "c"]), in_a_row(["a, the black one", "b"]), in_a_row(["a, the black one"])
    ('a, b and c', 'a, the black one; b', 'a, the black one')
    """
    if any(", " in thing or " and " in thing for thing in things):
        return "; ".join(things)
    *rest, last = things or ("",)
    return f"{', '.join(rest)} and {last}" if rest else last


def under_words(said: Mapping[str, str]) -> str:
    """How something was measured, each thing with its own value.

    >>> under_words({"driver": "31.4", "os": "11"})
    'driver 31.4 and os 11'
    >>> under_words({"driver": "31.4", "memory": "6,000 MT/s, 30-36-36"})
    'driver 31.4; memory 6,000 MT/s, 30-36-36'
    """
    return in_a_row([f"{name} {value}" for name, value in said.items()])
