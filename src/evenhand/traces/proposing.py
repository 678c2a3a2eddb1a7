"""The noun of a proposal and the words its reasons are made of."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from evenhand.records.layouts import Column, Role
from evenhand.traces.evidence import Evidence

ABOUT = {
    "graphics": frozenset({"gpu", "graphics"}),  # before the processor: either has a core
    "processor": frozenset({"cpu", "processor", "core", "package"}),
    "memory": frozenset({"memory", "ram", "vram", "mem"}),
    "board": frozenset({"board", "mainboard"}),
    "wall": frozenset({"wall", "mains", "plug"}),
    "room": frozenset({"room", "ambient", "intake"}),
}


BOARD_POWER = frozenset({"power", "draw"})
"""With "board": what the trade calls all that a graphics card draws."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposed:
    """What one column may be, why, and whether header and values both say so."""

    column: Column
    reason: str
    sure: bool = True


def unused(seen: Evidence, reason: str) -> Proposed:
    """A column that is not needed."""
    return Proposed(column=Column(header=seen.header, role=Role.IGNORED), reason=reason)


def header_says(seen: Evidence, known: Iterable[str]) -> str:
    """Which words and unit of the header speak for a role.

    >>> import numpy as np
    >>> from evenhand.units import unit
    >>> seen = Evidence(header="frame time [ms]", words=frozenset({"frame", "time"}), unit=unit("ms"),
    ...                 values=np.zeros(0), numeric=1.0, timed=False)
    >>> header_says(seen, ["time", "frame", "elapsed"])
    'header names frame and time, unit ms'
    """
    words = sorted(seen.words & set(known))
    named = f"header names {' and '.join(words)}" if words else ""
    unit = f"unit {seen.unit.symbol}" if seen.unit is not None else ""
    return ", ".join(part for part in (named, unit) if part) or "header does not say"


def about_of(seen: Evidence, role_words: frozenset[str]) -> str:
    """What a sensor sits on, by the words of its header; else those words themselves."""
    if "power" in role_words and "board" in seen.words and seen.words & BOARD_POWER:
        return "graphics"
    found = next((name for name, words in ABOUT.items() if seen.words & words - role_words), "")
    return found or seen.header.split("[")[0].strip()
