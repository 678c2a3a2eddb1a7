"""What is known of the parts of Saltmarsh, and how many of each there are."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from datetime import date
from importlib import resources
from typing import Any

from evenhand.demo.workshop import BUILDS, PARTS
from evenhand.records.builds import Part
from evenhand.records.part_facts import PartFact

COUNTED_ON = date(2026, 11, 21)


def part_facts() -> tuple[PartFact, ...]:
    """The facts of every part, those of one part together.

    >>> {fact.part for fact in part_facts()} == {part.key for part in PARTS}
    True
    """
    text = (resources.files("evenhand.demo") / "part_facts.toml").read_text(encoding="utf-8")
    told = tomllib.loads(text)
    return tuple(fact for part in PARTS for fact in _of(part, told.get(part.key, [])))


def _of(part: Part, tables: list[Mapping[str, Any]]) -> Iterator[PartFact]:
    for table in tables:
        facts = {**table["values"], **dict.fromkeys(table.get("unknown", ()))}
        for key, value in facts.items():
            yield PartFact(part=part.key, fact=key, value=value, source=table["source"], on=table["on"])
    yield PartFact(part=part.key, fact="pieces", value=_pieces(part), source="the shelf", on=COUNTED_ON)


def _pieces(part: Part) -> int:
    """One for each machine that is compared: a swap is made of the same parts."""
    return sum(part.key in build.parts for build in BUILDS[:3])
