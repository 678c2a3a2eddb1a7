"""The rigs that take part just now: when each was last heard, what it is, and which slot it has taken."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from threading import Lock
from typing import Any

SILENT_AFTER = timedelta(seconds=90)
HELD_FOR = timedelta(hours=6)  # a slot that was taken so long ago is given to others again

Slot = tuple[int, int]  # plan and number


@dataclass(frozen=True, slots=True, kw_only=True)
class RigNow:
    """One rig as it was last heard: what it said of itself, and the slot it has."""

    device: str
    name: str
    heard_at: datetime
    introduction: Mapping[str, Any] = field(default_factory=dict)
    slot: Slot | None = None
    since: datetime | None = None

    def here(self, now: datetime) -> bool:
        """Whether it was heard lately."""
        return now - self.heard_at < SILENT_AFTER


class Rigs:
    """Who takes part; remembered while the site is open, since a rig says hello again by itself."""

    def __init__(self) -> None:
        self._rigs: dict[str, RigNow] = {}
        self._turn = Lock()

    def hello(self, device: str, name: str, introduction: Mapping[str, Any], *, now: datetime) -> None:
        """A rig has said what it is."""
        with self._turn:
            known = self._rigs.get(device)
            slot, since = (known.slot, known.since) if known else (None, None)
            self._rigs[device] = RigNow(
                device=device, name=name, heard_at=now, introduction=introduction, slot=slot, since=since
            )

    def take(self, device: str, name: str, slot: Slot | None, *, now: datetime) -> None:
        """A rig was given this slot, or none."""
        with self._turn:
            known = self._rigs.get(device) or RigNow(device=device, name=name, heard_at=now)
            since = known.since if known.slot == slot else (now if slot else None)
            self._rigs[device] = replace(known, heard_at=now, slot=slot, since=since)

    def taken_by_others(self, device: str, *, now: datetime) -> frozenset[Slot]:
        """The slots that other rigs have."""
        return frozenset(
            rig.slot
            for rig in self.all()
            if rig.device != device and rig.slot and rig.since and now - rig.since < HELD_FOR
        )

    def all(self) -> tuple[RigNow, ...]:
        """Every rig that has been heard, the latest first."""
        with self._turn:
            return tuple(sorted(self._rigs.values(), key=lambda rig: rig.heard_at, reverse=True))
