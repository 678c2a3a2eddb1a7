"""Values of facts as a person writes them, and back: each by its sort, refused with what would do."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from evenhand.desk.typed_numbers import decimal
from evenhand.errors import BadRecord
from evenhand.fit.known import FactKind, Sort
from evenhand.publish.fact_words import value_words
from evenhand.publish.numbers import counted

NONE = "none"
"""What is written for an empty list: that there is none is known."""
YES, NO = "yes", "no"
HOW = {Sort.BY_MS: "milliseconds = so many times", Sort.BY_LOAD: "load in % = what it hands on in %"}
BETWEEN = "one a line, or a comma and a space between two"
_TRUE, _FALSE = ("yes", "true", "y", "1"), ("no", "false", "n", "0")


def read_value(fact: FactKind, text: str) -> Any:
    """The value that was written. Raises BadRecord, which says how it is written.

    >>> from evenhand.fit.known import fact_kinds
    >>> read_value(fact_kinds()["cooler"]["height_mm"], "158,5 mm")
    158.5
    >>> read_value(fact_kinds()["board"]["slots"], "x16; length 16; lanes 16; shares M2_2, SATA 5")
    [{'name': 'x16', 'length': 16, 'lanes': 16, 'shares': ['M2_2', 'SATA 5']}]
    """
    text = text.strip()
    match fact.sort:
        case Sort.WORD:
            return _word(fact, text)
        case Sort.WORDS:
            return _words(text)
        case Sort.NUMBER | Sort.COUNT:
            return _number(fact, text)
        case Sort.YES:
            return _yes(fact, text)
        case Sort.TABLE:
            return dict(_pairs(fact, text))
        case Sort.BY_MS:
            return {key.removesuffix("ms").strip(): _times(fact, each) for key, each in _by_ms(fact, text)}
        case Sort.BY_LOAD:
            pairs = ((load.removesuffix("%"), each.removesuffix("%")) for load, each in _by_ms(fact, text))
            return {load.strip(): _times(fact, each.strip()) for load, each in pairs}
        case Sort.PLACES:
            return [] if text.casefold() == NONE else [_place(fact, line) for line in _lines(text)]


def written(fact: FactKind, value: Any) -> str:
    """A value as it is written, so that it can be read again; "" for one that is not known."""
    if value is None:
        return ""
    match fact.sort:
        case Sort.YES:
            return YES if value else NO
        case Sort.NUMBER | Sort.COUNT:
            return f"{value:.12g}"
        case Sort.WORDS:
            return ", ".join(value) or NONE
        case Sort.TABLE | Sort.BY_MS | Sort.BY_LOAD:
            return "\n".join(f"{key} = {each}" for key, each in value.items())
        case Sort.PLACES:
            return "\n".join(map(_place_written, value)) or NONE
        case Sort.WORD:
            return str(value)


def read_back(fact: FactKind, text: str) -> str:
    """How a number or a list that could be read otherwise was read; "" where nothing is to be said."""
    try:
        value = read_value(fact, text)
    except BadRecord:
        return ""
    if fact.sort in (Sort.NUMBER, Sort.COUNT) and any(mark in text for mark in ",."):
        return f"Read as {value_words(fact, value)}."
    if fact.sort is Sort.PLACES:
        return f"Read as {counted(len(value), 'place')}." if value else "Read as none."
    return ""


def _word(fact: FactKind, text: str) -> str:
    if fact.one_of and text.casefold() not in fact.one_of:
        raise _refused(fact, text, f"write {' or '.join(fact.one_of)}")
    return text.casefold() if fact.one_of else text


def _words(text: str) -> list[str]:
    return [] if text.casefold() == NONE else [word for each in text.split(",") if (word := each.strip())]


def _number(fact: FactKind, text: str) -> int | float:
    bare = text.removesuffix(fact.unit).strip() if fact.unit else text
    value = decimal(bare)
    if value is None or value < 0:
        raise _refused(fact, text, "write a number from 0 on in digits, as in 2.5 or 2,5")
    if fact.sort is Sort.COUNT and value % 1:
        raise _refused(fact, text, "it is counted: write a whole number")
    return int(value) if value % 1 == 0 else value


def _yes(fact: FactKind, text: str) -> bool:
    if text.casefold() in _TRUE:
        return True
    if text.casefold() in _FALSE:
        return False
    raise _refused(fact, text, f"write {YES} or {NO}")


def _pairs(fact: FactKind, text: str) -> Iterator[tuple[str, str]]:
    for line in _lines(text.replace(",", "\n")):
        key, there, value = (each.strip() for each in line.partition("="))
        if not (there and key and value):
            raise _refused(fact, line, "write name = value, one a line")
        yield key, value


def _by_ms(fact: FactKind, text: str) -> Iterator[tuple[str, str]]:
    """Pairs of numbers, one a line or after a comma and a space: a comma without one is before decimals."""
    for line in _lines(re.sub(r",\s+", "\n", text)):
        key, there, value = (each.strip() for each in line.partition("="))
        if not (there and key and value):
            raise _refused(fact, line, f"write {HOW[fact.sort]}, {BETWEEN}")
        yield key.replace(",", "."), value


def _times(fact: FactKind, text: str) -> float:
    value = decimal(text)
    if value is None:
        raise _refused(fact, text, "write a number in digits, as in 1.7 or 1,7")
    return value


def _lines(text: str) -> list[str]:
    return [line for each in re.split(r"[\n|]", text) if (line := each.strip())]


def _place(fact: FactKind, line: str) -> dict[str, Any]:
    name, *others = (each.strip() for each in line.split(";"))
    place: dict[str, Any] = {"name": name}
    for each in filter(None, others):
        key, sort, rest = _key_of(fact, each)
        inner = FactKind(
            kind=fact.kind, key=key, sort=sort, name=f"{fact.name}, {name}: {_said(key)}", where=fact.where
        )
        place[key] = read_value(inner, rest)
    return place


def _key_of(fact: FactKind, text: str) -> tuple[str, Sort, str]:
    """Which value of a place a piece of a line is: the longest name that it begins with."""
    for key, sort in sorted(fact.of.items(), key=lambda each: -len(each[0])):
        said = _said(key)
        for begin in (said, key):
            if text.casefold().startswith(f"{begin} "):
                return key, sort, text[len(begin) :].strip()
    known = [_said(key) for key in fact.of if key != "name"]
    raise _refused(fact, text, f"each begins with a word of what it says: {', '.join(known)}")


def _place_written(place: Mapping[str, Any]) -> str:
    others = (f"{_said(key)} {_inner(value)}" for key, value in place.items() if key != "name")
    return "; ".join((str(place["name"]), *others))


def _inner(value: Any) -> str:
    return (", ".join(value) or NONE) if isinstance(value, list | tuple) else f"{value}"


def _said(key: str) -> str:
    return key.replace("_", " ")


def _refused(fact: FactKind, text: str, todo: str) -> BadRecord:
    return BadRecord(f"\u2018{text}\u2019 cannot be read", where=fact.name, todo=todo)
