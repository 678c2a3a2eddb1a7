"""Every fact that a part may have: what rules ask for, how good it is at a role, how many there are."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from evenhand.errors import BadRecord, nearest
from evenhand.fit.known import FactKind, Sort, checked, fact_kinds
from evenhand.records.part_facts import PERFORMANCE

PIECES = "pieces"
"""How many of a part there are: fewer than the builds that have it, and it moves between them."""
WITHOUT_GROUP = "everything"
"""The role of tests that are in no group."""
_PIECES = FactKind(
    kind="", key=PIECES, sort=Sort.COUNT, name="how many of it there are",
    where="count them: on the shelf and in machines",
)  # fmt: skip
_MOST_TIMES = 1000.0


def known_facts(kind: str) -> Mapping[str, FactKind]:
    """The facts of a kind of part, but for how good one is at a role; last how many of it there are."""
    return {**fact_kinds().get(kind, {}), PIECES: _PIECES}


def fact_kind(kind: str, key: str) -> FactKind:
    """What a fact is. Raises BadRecord, with the nearest one known, where this kind of part has none such."""
    known = known_facts(kind)
    if key in known:
        return known[key]
    role = key.removeprefix(PERFORMANCE)
    if key.startswith(PERFORMANCE) and role.strip():
        return FactKind(
            kind=kind, key=key, sort=Sort.NUMBER, name=f"how good it is at {role}", unit="times",
            where="in your own measurements, as a multiple of any one reference",
        )  # fmt: skip
    raise BadRecord(
        f"no fact of a part of the kind {kind} is called '{key}'", where="facts", todo=nearest(key, known)
    )


def checked_value(kind: str, key: str, value: Any, *, where: str) -> Any:
    """The value of a fact, None where it is not known. Raises BadRecord that names the place."""
    about = fact_kind(kind, key)
    if value is None:
        return None
    if key in fact_kinds().get(kind, {}):
        return checked(kind, {key: value}, where=where)[key]
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    whole = about.sort is not Sort.COUNT or isinstance(value, int)
    least = 0 if key == PIECES else 1e-6
    if not (is_number and whole and least <= value <= _MOST_TIMES):
        wanted = "a whole number from 0 on" if key == PIECES else "a number above 0"
        raise BadRecord(
            f"{about.name} is not {wanted}: {value!r}", where=f"{where}, {key}", todo="correct it"
        )
    return value


def may_be(kind: str, key: str, value: Any) -> bool:
    """Whether a part of this kind may have this fact."""
    try:
        checked_value(kind, key, value, where=key)
    except BadRecord:
        return False
    return True
