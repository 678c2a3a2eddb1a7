"""Reading the facts of parts: what was seen, and what is not known and where it is looked up."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from evenhand.fit.known import FactKind, fact_kinds


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """A part as the rules see it: its key, kind and name, and what is known of it."""

    key: str
    kind: str
    name: str
    facts: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """A fact of a part that an answer rests on; `value` is None where it is not known."""

    part: Item
    fact: FactKind
    value: Any


class Reading:
    """What one question reads of parts, in order, each fact once."""

    def __init__(self) -> None:
        self._seen: dict[tuple[int, str], Seen] = {}

    def of(self, part: Item, fact: str) -> Any:
        """The value of a fact, or None where it is not known."""
        value = part.facts.get(fact)
        self._seen[id(part), fact] = Seen(part=part, fact=fact_kinds()[part.kind][fact], value=value)
        return value

    def total(self, parts: Iterable[Item], fact: str) -> float:
        """What the parts have of a fact together, as far as it is known."""
        return float(sum(value for part in parts if (value := self.of(part, fact)) is not None))

    @property
    def seen(self) -> tuple[Seen, ...]:
        """All that was read and is known."""
        return tuple(each for each in self._seen.values() if each.value is not None)

    @property
    def missing(self) -> tuple[Seen, ...]:
        """All that was asked for and is not known."""
        return tuple(each for each in self._seen.values() if each.value is None)
