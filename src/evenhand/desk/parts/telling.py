"""What is on record of one part's facts."""

from __future__ import annotations

from evenhand.records.builds import Part
from evenhand.records.part_facts import PartFact
from evenhand.store import part_facts, shelves
from evenhand.store.workbench import Workbench


def facts_ever(wb: Workbench, part: str) -> tuple[PartFact, ...]:
    """Every fact that was ever noted of a part, in order. Raises NotFound."""
    shelves.one(wb, Part, part)
    return part_facts.facts_of(wb, [part], ever=True)
