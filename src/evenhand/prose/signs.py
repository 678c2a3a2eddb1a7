"""Signs that stand for names of the record in a sentence, so that rules need not know the names."""

from __future__ import annotations

from enum import StrEnum

# A script that nobody writes in today. Its signs count as letters, so that word boundaries work beside them.
FIRST, EACH = 0x17000, 0x100


class Named(StrEnum):
    """What a name in a sentence is of."""

    SETUP = "S"
    TEST = "T"
    GROUP = "G"
    AUDIENCE = "A"
    PART = "P"
    KIND = "K"
    REFERENCE = "R"


_ORDER = tuple(Named)


def sign(named: Named, number: int) -> str:
    """The sign of the name with this number.

    >>> [read(sign(Named.TEST, 3))]
    [(<Named.TEST: 'T'>, 3)]
    """
    return chr(FIRST + EACH * _ORDER.index(named) + min(number, EACH - 1))


def read(char: str) -> tuple[Named, int] | None:
    """What a sign stands for; None for any other character."""
    at = ord(char) - FIRST
    return (_ORDER[at // EACH], at % EACH) if 0 <= at < EACH * len(_ORDER) else None


def span(named: Named) -> str:
    """A regular expression for any sign of this sort."""
    return f"[{sign(named, 0)}-{sign(named, EACH - 1)}]"
