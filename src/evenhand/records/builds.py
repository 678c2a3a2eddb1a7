"""Parts, the builds made of them, and the exact states in which builds are measured."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part, by what it does: processor, board, graphics, memory, storage, supply, case, cooler."""

    key: str
    kind: str
    name: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Build:
    """A complete machine: its parts, and the colour slot (1 to 5) it wears on every chart."""

    key: str
    name: str
    slot: int
    parts: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """A build in one exact state.

    `state` is the reviewer's word for it ("stock", "mild tune"); `stamps` holds what must not
    differ between runs of the setup: firmware, operating system, driver, power plan.
    """

    key: str
    name: str
    build: str
    state: str = "stock"
    stamps: Mapping[str, str] = field(default_factory=dict)
