"""The words of a file's name, and which names of other studies, tests, setups and builds stand among them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from evenhand.records.builds import Build, Setup
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

WORDS = re.compile(r"[^\W_]+")
ENDINGS = ("csv", "gz", "json", "log", "tsv", "txt", "xml", "zip")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearer:
    """What bears a name: a study, test, setup or build, by its key; `words` are those of its name or key."""

    sort: str
    key: str
    name: str
    words: tuple[str, ...]


def said_of_others(wb: Workbench, name: str, *, own: Mapping[str, str]) -> str:
    """Which other study, test, setup or build a file's name holds; "" where it holds none.

    `own` are the keys of the run that it would be filed as, by sort. A name within a longer one, or made of
    words that the names of that run hold as well, is not another's; nor is a number.
    """
    bearers = wb.lately("names in file names", lambda: tuple(_bearers(wb)))
    ours = {word for each in bearers if own.get(each.sort) == each.key for word in each.words}
    said = _standing_apart(words_of(_without_ending(name)), bearers)
    for places in said.values():
        others = [each for each in places if not ours.issuperset(each.words)]
        if others:
            return f"another {others[0].sort}, {others[0].name}"
    return ""


def _bearers(wb: Workbench) -> Iterator[Bearer]:
    for study in shelves.every(wb, Study):
        yield from _of("study", study.key, study.title)
    for test in shelves.every(wb, Test):
        yield from _of("test", test.key, test.name)
    for build in shelves.every(wb, Build):
        yield from _of("build", build.key, build.name)
    for setup in shelves.every(wb, Setup):
        yield from _of("setup", setup.key, setup.name)


def _of(sort: str, key: str, name: str) -> Iterator[Bearer]:
    for words in {tuple(words_of(key)), tuple(words_of(name))}:
        if not all(word.isdecimal() for word in words):
            yield Bearer(sort=sort, key=key, name=name, words=words)


def _standing_apart(
    words: Sequence[str], bearers: Sequence[Bearer]
) -> Mapping[tuple[int, int], list[Bearer]]:
    """Who bears the names that stand in these words, by place; none that lies within a longer one."""
    found: dict[tuple[int, int], list[Bearer]] = {}
    for each in bearers:
        for begin in places_of(each.words, words):
            found.setdefault((begin, begin + len(each.words)), []).append(each)
    return {
        (begin, end): there
        for (begin, end), there in found.items()
        if not any(b <= begin and end <= e and (b, e) != (begin, end) for b, e in found)
    }


def places_of(name: Sequence[str], words: Sequence[str]) -> tuple[int, ...]:
    """Where all words of a name stand in a row in these words.

    >>> places_of(["salt", "causeway"], ["wren", "salt", "causeway", "4"])
    (1,)
    """
    n = len(name)
    if not n:
        return ()
    return tuple(at for at in range(len(words) - n + 1) if list(words[at : at + n]) == list(name))


def _without_ending(name: str) -> str:
    """A test may well be called as a kind of file is."""
    stem, dot, ending = name.rpartition(".")
    return _without_ending(stem) if dot and ending.casefold() in ENDINGS else name


def words_of(text: str) -> list[str]:
    """The words of a file name or a name, in lower case.

    >>> words_of("logs/Wren_Salt-Causeway.4.csv")
    ['logs', 'wren', 'salt', 'causeway', '4', 'csv']
    """
    return WORDS.findall(text.casefold())
