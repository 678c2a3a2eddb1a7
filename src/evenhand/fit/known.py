"""What may be known of a part, by its kind: each fact's name, its unit, and where it is looked up."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache
from importlib import resources
from typing import Any

from evenhand.errors import BadRecord, nearest
from evenhand.fit.words import is_in

_MOST = 1e6  # of any unit here: no part is so large
_MOST_TIMES = 10.0
_MOST_PLACES = 16
MILLISECONDS = ("0.1", "1", "10", "100")
"""For how long a budget of power is asked, as the keys of what is so many times as much."""


class Sort(StrEnum):
    """What kind of value a fact has."""

    WORD = "word"
    WORDS = "words"
    NUMBER = "number"
    COUNT = "count"
    YES = "yes"
    TABLE = "table"
    PLACES = "places"
    BY_MS = "by_ms"
    BY_LOAD = "by_load"


@dataclass(frozen=True, slots=True, kw_only=True)
class FactKind:
    """One fact of a kind of part.

    `one_of` are the only words that it may be, `most` the largest number; `of` names the values of each place
    in a list of places. For one that is `spare` hardly an answer waits: something is assumed where it is not
    known, or it is asked of unusual builds alone.
    """

    kind: str
    key: str
    sort: Sort
    name: str
    where: str
    unit: str = ""
    one_of: tuple[str, ...] = ()
    most: float = _MOST
    spare: bool = False
    of: Mapping[str, Sort] = field(default_factory=dict)


@cache
def fact_kinds() -> Mapping[str, Mapping[str, FactKind]]:
    """Every fact that the rules ask for, by kind of part and key."""
    text = (resources.files("evenhand.fit") / "facts.toml").read_text(encoding="utf-8")
    return {
        kind: {key: _kind(kind, key, told) for key, told in facts.items()}
        for kind, facts in tomllib.loads(text).items()
    }


def _kind(kind: str, key: str, told: Mapping[str, Any]) -> FactKind:
    return FactKind(
        kind=kind, key=key, sort=Sort(told["value"]), name=told["name"], where=told["where"],
        unit=told.get("unit", ""), one_of=tuple(told.get("one_of", ())), most=float(told.get("most", _MOST)),
        spare=told.get("spare", False),
        of={name: Sort(sort) for name, sort in told.get("of", {}).items()},
    )  # fmt: skip


def checked(kind: str, facts: Mapping[str, Any], *, where: str) -> dict[str, Any]:
    """The facts of a part of this kind, as they may be written down. Raises BadRecord.

    A kind that no rule asks about may have no facts.
    """
    known = fact_kinds().get(kind, {})
    for key, value in facts.items():
        if key not in known:
            todo = nearest(key, list(known)) if known else f"leave the facts of a {kind} out"
            raise BadRecord(f"no fact of a {kind} is called '{key}'", where=where, todo=todo)
        fact = known[key]
        if not _may_be(fact, value):
            wanted = " or ".join(fact.one_of) or _WANTED[fact.sort]
            wanted = wanted if fact.most == _MOST else f"a number from 0 to {fact.most:g}"
            raise BadRecord(
                f"{fact.name} is not {wanted}: {value!r}",
                where=f"{where}, {key}",
                todo="write it so, or leave it out as long as it is not known",
            )
    return dict(facts)


def _may_be(fact: FactKind, value: Any) -> bool:
    if not _is(fact.sort, value, fact.of):
        return False
    if fact.sort in (Sort.NUMBER, Sort.COUNT):
        return bool(value <= fact.most)
    return not fact.one_of or is_in(value, fact.one_of)


_WANTED: Mapping[Sort, str] = {
    Sort.WORD: "a word",
    Sort.WORDS: "a list of words",
    Sort.NUMBER: "a number from 0 on",
    Sort.COUNT: "a whole number from 0 on",
    Sort.YES: "true or false",
    Sort.TABLE: "a table of words",
    Sort.BY_MS: "a table of milliseconds (0.1, 1, 10 or 100), each with a number from 0.1 to 10",
    Sort.BY_LOAD: "a table of loads in % of its rating, each with a number of % from 1 to 100",
    Sort.PLACES: "a list of tables with the values that they may have, at most 16",
}


def _is(sort: Sort, value: Any, of: Mapping[str, Sort]) -> bool:
    match sort:
        case Sort.WORD:
            return isinstance(value, str) and bool(value.strip())
        case Sort.WORDS:
            return isinstance(value, list | tuple) and all(_is(Sort.WORD, each, of) for each in value)
        case Sort.NUMBER | Sort.COUNT:
            number = isinstance(value, int) or (sort is Sort.NUMBER and isinstance(value, float))
            return number and not isinstance(value, bool) and 0 <= value <= _MOST
        case Sort.YES:
            return isinstance(value, bool)
        case Sort.TABLE:
            return isinstance(value, Mapping) and all(_is(Sort.WORD, each, of) for each in value.values())
        case Sort.BY_MS:
            return isinstance(value, Mapping) and all(map(_is_times, value, value.values()))
        case Sort.BY_LOAD:
            return isinstance(value, Mapping) and all(map(_is_share, value, value.values()))
        case Sort.PLACES:
            few = isinstance(value, list | tuple) and len(value) <= _MOST_PLACES
            return few and all(_is_place(each, of) for each in value)


def _is_times(ms: Any, times: Any) -> bool:
    number = isinstance(times, int | float) and not isinstance(times, bool)
    return ms in MILLISECONDS and number and 0.1 <= times <= _MOST_TIMES


def _is_share(load: Any, percent: Any) -> bool:
    number = isinstance(percent, int | float) and not isinstance(percent, bool)
    return is_percent(load) and number and 1 <= percent <= 100


def is_percent(text: Any) -> bool:
    """Whether a text is a number above 0 and up to 100.

    >>> is_percent("20"), is_percent("12.5"), is_percent("0"), is_percent("half")
    (True, True, False, False)
    """
    try:
        return isinstance(text, str) and 0 < float(text) <= 100
    except ValueError:
        return False


def _is_place(place: Any, of: Mapping[str, Sort]) -> bool:
    return (
        isinstance(place, Mapping)
        and "name" in place
        and all(key in of and _is(of[key], value, {}) for key, value in place.items())
    )
