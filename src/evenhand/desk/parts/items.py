"""Parts as the rules see them: each with the facts that stand and that are known of its kind."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from evenhand.desk.parts.known import may_be
from evenhand.fit.known import fact_kinds
from evenhand.fit.reading import Item
from evenhand.records.builds import Part
from evenhand.records.part_facts import PartFact
from evenhand.store import part_facts, shelves
from evenhand.store.workbench import Workbench


def items_of(wb: Workbench, parts: Iterable[str]) -> tuple[Item, ...]:
    """These parts with what is known of them, in this order; one that is named twice is there twice.

    What is on record and cannot be a fact of the kind (a part that was called otherwise since) is unknown.
    """
    keys = tuple(parts)
    there = shelves.some(wb, Part, keys)
    facts = facts_by_part(wb, there)
    made = {key: item_of(part, facts.get(key, {})) for key, part in there.items()}
    return tuple(made[key] for key in keys)


def item_of(part: Part, facts: Mapping[str, PartFact]) -> Item:
    """One part with the facts that stand, by their key."""
    return Item(
        key=part.key, kind=part.kind, name=part.name,
        facts={key: fact.value for key, fact in facts.items() if _is_known(part.kind, key, fact.value)},
    )  # fmt: skip


def facts_by_part(wb: Workbench, parts: Iterable[str]) -> dict[str, dict[str, PartFact]]:
    """The facts that stand, by part and key."""
    found: dict[str, dict[str, PartFact]] = {}
    for fact in part_facts.facts_of(wb, parts):
        found.setdefault(fact.part, {})[fact.fact] = fact
    return found


def _is_known(kind: str, key: str, value: Any) -> bool:
    return value is not None and key in fact_kinds().get(kind, {}) and may_be(kind, key, value)
