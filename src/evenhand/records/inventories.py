"""What a rig tells of the machine that it runs on, and which part of the workbench each is said to be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldPart:
    """A part as a rig's system tells of it: `facts` by the keys of its kind, `source` is where it read them.

    `nth` tells apart several of one kind and name, from 1.
    """

    kind: str
    name: str
    nth: int
    facts: Mapping[str, Any]
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Untold:
    """What a rig's system does not tell, and why."""

    what: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Inventory:
    """What a rig told at a moment. `rig` names it for good, `build` is the machine that it was let in as."""

    rig: str
    name: str
    build: str | None
    parts: tuple[ToldPart, ...]
    untold: tuple[Untold, ...]
    at: datetime
    id: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What names a told part for good: the same one in the next inventory of its rig."""

    rig: str
    kind: str
    name: str
    nth: int
