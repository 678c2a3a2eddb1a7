"""What is known of a part, in words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from evenhand.fit.known import FactKind, Sort
from evenhand.fit.reading import Seen
from evenhand.publish.direction import isolated
from evenhand.publish.numbers import as_written, listed, with_unit

NOT_NOTED = "not known"


def seen_words(seen: Seen) -> str:
    """A fact that an answer rests on, with whose it is."""
    return f"{isolated(seen.part.name)}, {seen.fact.name}: {value_words(seen.fact, seen.value)}"


def value_words(fact: FactKind, value: Any) -> str:
    r"""A value as it is read.

    >>> fact = FactKind(kind="case", key="x", sort=Sort.NUMBER, name="x", where="", unit="mm")
    >>> value_words(fact, 158.5), value_words(fact, None)
    ('158.5\xa0mm', 'not known')
    """
    if value is None:
        return NOT_NOTED
    match fact.sort:
        case Sort.YES:
            return "yes" if value else "no"
        case Sort.NUMBER | Sort.COUNT:
            return with_unit(as_written(float(value)), fact.unit)
        case Sort.WORDS:
            return ", ".join(map(isolated, value)) or "none"
        case Sort.TABLE:
            return "; ".join(f"{isolated(key)}: {isolated(each)}" for key, each in value.items()) or "none"
        case Sort.BY_MS:
            return shares_words({float(ms): times for ms, times in value.items()}) or "none"
        case Sort.BY_LOAD:
            told = (
                f"{with_unit(as_written(each), '%')} at {with_unit(load, '%')}"
                for load, each in value.items()
            )
            return listed(tuple(told)) or "none"
        case Sort.PLACES:
            return "; ".join(map(_place_words, value)) or "none"
        case Sort.WORD:
            return isolated(str(value))


def shares_words(shares: Mapping[float, float]) -> str:
    """Multiples by for how many milliseconds they hold."""
    return listed(
        tuple(
            f"{as_written(share)} times for {with_unit(as_written(ms), 'ms')}" for ms, share in shares.items()
        )
    )


def _place_words(place: Mapping[str, Any]) -> str:
    inner = ", ".join(
        f"{key.replace('_', ' ')} {_inner(value)}" for key, value in place.items() if key != "name"
    )
    return f"{isolated(str(place['name']))} ({inner})" if inner else isolated(str(place["name"]))


def _inner(value: Any) -> str:
    return ("+".join(map(str, value)) or "none") if isinstance(value, list | tuple) else str(value)
