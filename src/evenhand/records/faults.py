"""A fault found in a run, with the evidence a person needs to judge it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum


class Severity(StrEnum):
    """What a fault does to a run: keep it out for good, hold it for a decision, or only say so."""

    BLOCKS = "blocks"
    IN_DOUBT = "in doubt"
    NOTE = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where in the run: seconds from its start."""

    from_s: float
    to_s: float

    def later(self, by_s: float) -> Place:
        """The same place by a clock that began so much earlier."""
        return Place(from_s=self.from_s + by_s, to_s=self.to_s + by_s)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One fault of one run.

    `kind` is a stable key; `title` the same in plain words; `evidence` one sentence with numbers;
    `numbers` those numbers by name, unit in the name; `todo` what to do about it. `behaviour` marks
    what the machine really does (throttling), as against a mistake of measurement.
    """

    kind: str
    title: str
    severity: Severity
    evidence: str
    todo: str
    numbers: Mapping[str, float] = field(default_factory=dict)
    places: tuple[Place, ...] = ()
    siblings: tuple[str, ...] = ()
    behaviour: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What stood on a run when a decision was made about it: a fault, frozen as it was told then."""

    kind: str
    title: str
    severity: Severity
    evidence: str
    numbers: Mapping[str, float] = field(default_factory=dict)
