"""Every error Evenhand raises on purpose, drawn as one tree.

    EvenhandError
    ├── BadRecord       what a person wrote down cannot be used (study file, command, unit)
    ├── BadLog          bytes of a log cannot be read as what they claim to be
    ├── NotFound        a name that nothing on record answers to
    ├── NotComparable   two numbers that must not be put in one ratio
    ├── NotEnoughRuns   a question that the runs on record cannot answer
    ├── Overtaken       a decision that rests on what is no longer so
    └── StoreProblem    the workbench file cannot be opened, read or written

Each says what was found, where, and what to do next. Shells translate them once.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import difflib  # only a mistake needs it, and every command loads this

NEAR = 0.6  # how like a name has to be to a word to be taken for what was meant, of 1


class EvenhandError(Exception):
    """Something Evenhand can explain.

    `found` says what is wrong, `where` names file, line and column as far as known, `todo` says
    what to do next.

    >>> str(BadLog("the file is empty", where="logs/a.csv", todo="record the run again"))
    'logs/a.csv: the file is empty; record the run again'
    """

    def __init__(self, found: str, *, where: str = "", todo: str = "") -> None:
        self.found = found
        self.where = where
        self.todo = todo
        super().__init__(found)

    def __str__(self) -> str:
        place = f"{self.where}: " if self.where else ""
        advice = f"; {self.todo}" if self.todo else ""
        return f"{place}{self.found}{advice}"


class BadRecord(EvenhandError):
    """What a person wrote down cannot be used."""


class BadLog(EvenhandError):
    """Bytes of a log cannot be read as what they claim to be."""


class NotFound(EvenhandError):
    """Nothing on record answers to this name."""


class NotComparable(EvenhandError):
    """These numbers must not be put in one ratio."""


class NotEnoughRuns(EvenhandError):
    """The runs on record cannot answer this."""


class Overtaken(EvenhandError):
    """Somebody else changed this after it was shown."""


class StoreProblem(EvenhandError):
    """The workbench file cannot be opened, read or written."""


def nearest(word: str, known: Iterable[str]) -> str:
    """A suggestion for a misspelt name, or the whole short list.

    >>> nearest("ambiant_c", ["ambient_c", "order"])
    "did you mean 'ambient_c'?"
    >>> nearest("zzz", ["b", "a"])
    'known: a, b'
    """
    names = sorted(known)
    close = closest(word, names)
    return f"did you mean '{close}'?" if close is not None else f"known: {', '.join(names)}"


def closest(word: str, known: Iterable[str]) -> str | None:
    """The one name that a misspelt one most likely stands for; None where none is near.

    >>> closest("ambiant_c", ["ambient_c", "order"]), closest("zzz", ["b", "a"])
    ('ambient_c', None)
    """
    import difflib

    return next(iter(difflib.get_close_matches(word, sorted(known), n=1, cutoff=NEAR)), None)


def nearest_few(word: str, known: Iterable[str], *, most: int = 3) -> str:
    """The few of many names that a misspelt one is nearest to, however far they are.

    >>> nearest_few("rate of plovr", ["rate of plover", "rate of wren", "margin", "price of plover"])
    "did you mean 'rate of plover', 'price of plover' or 'rate of wren'?"
    >>> nearest_few("zzz", ["margin"])
    "nearest: 'margin'"
    """
    return _nearest_few(word, tuple(sorted(known)), most)


@lru_cache(maxsize=512)  # a script may ask for what is not there in many places, among hundreds of names
def _nearest_few(word: str, names: tuple[str, ...], most: int) -> str:
    found = _likest(word, names, most)
    told = [f"'{name}'" for _, name in found]
    if found and found[0][0] >= NEAR:
        return f"did you mean {' or '.join(filter(None, (', '.join(told[:-1]), told[-1])))}?"
    return f"nearest: {', '.join(told)}" if told else "there is none yet"


def _likest(word: str, names: tuple[str, ...], most: int) -> list[tuple[float, str]]:
    """The names that are likest to a word, with how like they are (0 to 1), the likest first.

    How like two words can be at most is known by counting letters; a name that cannot be as like as those
    found already is held against nothing.
    """
    import difflib

    found: list[tuple[float, str]] = []
    pair = difflib.SequenceMatcher(b=word)
    for at_most, name in sorted(((_at_most(pair, name), name) for name in names), reverse=True):
        if len(found) == most and at_most < found[-1][0]:
            break
        pair.set_seq1(name)
        found = sorted([*found, (pair.ratio(), name)], reverse=True)[:most]
    return found


def _at_most(pair: difflib.SequenceMatcher[str], name: str) -> float:
    pair.set_seq1(name)
    return pair.quick_ratio()
