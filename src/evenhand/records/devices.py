"""A rig, a phone or a program that may take part over the network, and what it may do."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


class Scope(StrEnum):
    """What a device may do."""

    RIG = "rig"
    PHONE = "phone"
    FULL = "full"

    @property
    def meaning(self) -> str:
        """What it allows, in a few words."""
        return {
            Scope.RIG: "bring logs of its own machine and see its next run",
            Scope.PHONE: "use the bench page: note, decide, photograph",
            Scope.FULL: "do all that this computer may do",
        }[self]


@dataclass(frozen=True, slots=True, kw_only=True)
class Device:
    """One device. Its token is kept as a hash only; `build` is the machine that a rig is."""

    id: str
    name: str
    scope: Scope
    token_hash: str
    made_at: datetime
    build: str | None = None
    ended_at: datetime | None = None

    @property
    def allowed(self) -> bool:
        """Whether it has not been shut out."""
        return self.ended_at is None
