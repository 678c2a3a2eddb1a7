"""Frozen results that name today's code and today's inputs, which do not give them."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable

from evenhand.store.results import Frozen

NEAR = 1e-6  # the same sums may differ in their last digits from one machine to another


def disagreeing(known: Iterable[Frozen], *, code_version: str, input_hash: str, body: str) -> tuple[int, ...]:
    """The numbers of the results that name these inputs and this code, and hold another answer."""
    marks = (code_version, input_hash)
    same = (each for each in known if (each.code_version, each.input_hash) == marks)
    return tuple(each.id for each in same if not same_answer(each.body, body))


def same_answer(one: str, other: str) -> bool:
    """Whether two answers as JSON text say the same, numbers to one part in a million.

    >>> same_answer('{"ratio": 1.25}', '{"ratio": 1.2500000001}')
    True
    >>> same_answer('{"ratio": 1.25}', '{"ratio": 1.5}')
    False
    """
    try:
        return one == other or _alike(json.loads(one), json.loads(other))
    except (ValueError, RecursionError, OverflowError):
        return False


def _alike(one: object, other: object) -> bool:
    if isinstance(one, dict) and isinstance(other, dict):
        # An empty list says what no list says: a key that came in later leaves earlier answers as they were.
        return all(_alike(one.get(key, []), other.get(key, [])) for key in {*one, *other})
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_alike, one, other))
    if _is_number(one) and _is_number(other):
        return math.isclose(one, other, rel_tol=NEAR, abs_tol=NEAR**2)  # type: ignore[arg-type]
    return type(one) is type(other) and one == other


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)
