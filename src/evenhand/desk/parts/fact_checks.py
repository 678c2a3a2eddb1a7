"""The facts of a study file held against what may be known of parts, before anything is stored."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from evenhand.desk.parts.known import checked_value
from evenhand.errors import BadRecord
from evenhand.folders.fact_tables import FactInFile
from evenhand.folders.problems import Problem


def fact_problems(facts: Iterable[FactInFile]) -> Iterator[Problem]:
    """Facts that a part of their kind has not, and values that they cannot have."""
    for each in facts:
        try:
            checked_value(each.kind, each.fact.fact, each.fact.value, where=each.fact.part)
        except BadRecord as refused:
            yield Problem(path=each.path, found=refused.found, todo=refused.todo)
