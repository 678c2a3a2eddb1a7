"""What this machine is made of, as far as its system tells by itself: parts, each with its source.

Only what names a model is asked for. Serial numbers, names of people and machines, and addresses are never
read; what looks like one in the text of a model is taken out.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from evenhand.rig.readings.sensor import Unreadable

LONGEST = 120
HIDDEN = "(taken out)"
# What firmware says where nobody filled anything in.
_EMPTY = frozenset(
    ("to be filled by o.e.m.", "default string", "not specified", "not applicable", "none", "unknown", "n/a",
     "system product name", "system manufacturer", "o.e.m.", "oem", "x.x", "0", "empty", "invalid")
)  # fmt: skip
_ADDRESS = re.compile(r"\b(?:[0-9A-Fa-f]{2}[:-]){5}[0-9A-Fa-f]{2}\b|\b\d{1,3}(?:\.\d{1,3}){3}\b|\S+@\S+")
_SERIAL = re.compile(r"(?i)\b(?:serial|s/n|sn)\b[ :#]*\S+|\b\d{11,}\b|\b[0-9A-Fa-f]{16,}\b")


@dataclass(frozen=True, slots=True, kw_only=True)
class PartTold:
    """A part as the system tells of it: kind and facts go by the names that the workbench has for them."""

    kind: str
    name: str
    source: str
    facts: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Inventory:
    """What the system tells, and what it does not."""

    parts: tuple[PartTold, ...] = ()
    untold: tuple[Unreadable, ...] = ()

    @property
    def words(self) -> str:
        """The kinds of part that are told of, for a terminal; "" for none."""
        return ", ".join(dict.fromkeys(each.kind for each in self.parts))


def named(text: str | None) -> str:
    r"""A model's name as it may be sent: one line, without what tells one machine from another.

    >>> named("  Osk  Board 7\n"), named("To Be Filled By O.E.M."), named("Slate S/N 00A1X 1 TB")
    ('Osk Board 7', '', 'Slate (taken out) 1 TB')
    """
    line = " ".join((text or "").replace("\x00", " ").split())
    line = "".join(sign for sign in line if sign.isprintable())
    if line.casefold() in _EMPTY:
        return ""
    return _SERIAL.sub(HIDDEN, _ADDRESS.sub(HIDDEN, line))[:LONGEST].strip()


def untold(what: str, why: str) -> Unreadable:
    """A kind of part of which the system tells nothing."""
    return Unreadable(what=what, why=why)


def gathered(found: Iterable[PartTold | Unreadable]) -> Inventory:
    """Parts, and what is not told."""
    every = tuple(found)
    return Inventory(
        parts=tuple(each for each in every if isinstance(each, PartTold)),
        untold=tuple(each for each in every if isinstance(each, Unreadable)),
    )
