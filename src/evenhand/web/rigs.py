"""The rigs that take part just now: when each was last heard, what it is, and which slot it has taken."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from threading import Lock
from typing import Any

QUIET_AFTER = timedelta(seconds=40)  # a rig tells every half minute that it is there
SILENT_AFTER = timedelta(seconds=90)
HELD_FOR = timedelta(minutes=15)  # the slot of a rig that was not heard for so long is given to others

Slot = tuple[int, int]  # plan and number


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What taking part costs a rig: percent of one of its cores, and MiB of memory; None where not told."""

    share_pct: float | None = None
    memory_mib: float | None = None

    @property
    def words(self) -> str:
        r"""It in words; what nobody has measured yet is said to be so, and not taken for nothing.

        >>> Cost(share_pct=0.213, memory_mib=18.64).words
        'costs this machine 0.21\xa0% of a core, 19\xa0MiB'
        >>> Cost().words
        'what this costs the machine is not measured yet'
        >>> Cost(memory_mib=18.64).words
        'costs this machine 19\xa0MiB, its core not measured yet'
        """
        share = "" if self.share_pct is None else f"{self.share_pct:.2f}\N{NO-BREAK SPACE}% of a core"
        memory = "" if self.memory_mib is None else f"{self.memory_mib:.0f}\N{NO-BREAK SPACE}MiB"
        if not share and not memory:
            return "what this costs the machine is not measured yet"
        if not share:
            return f"costs this machine {memory}, its core not measured yet"
        return f"costs this machine {share}, {memory or 'its memory not measured yet'}"


@dataclass(frozen=True, slots=True, kw_only=True)
class RigNow:
    """One rig as it was last heard: what it said of itself, and the slot it has."""

    device: str
    name: str
    heard_at: datetime
    introduction: Mapping[str, Any] = field(default_factory=dict)
    slot: Slot | None = None
    cost: Cost = field(default_factory=Cost)
    ended: bool = False

    def here(self, now: datetime) -> bool:
        """Whether it was heard lately; one that has a run is awaited as long as that run is kept for it."""
        return now - self.heard_at < (HELD_FOR if self.slot else SILENT_AFTER)

    def quiet_s(self, now: datetime) -> int | None:
        """For how many seconds it was not heard of, where that is longer than usual or it has ended."""
        quiet = now - self.heard_at
        return int(quiet.total_seconds()) if self.ended or quiet >= QUIET_AFTER else None


def quiet_words(seconds: int) -> str:
    r"""A time for which nothing was heard.

    >>> quiet_words(44), quiet_words(130)
    ('44\xa0s', '2\xa0min')
    """
    return f"{seconds}\N{NO-BREAK SPACE}s" if seconds < 60 else f"{seconds // 60}\N{NO-BREAK SPACE}min"


class Rigs:
    """Who takes part; remembered while the site is open, since a rig says hello again by itself.

    `changes` counts what open pages should show: who came or went, and who was given another run.
    """

    def __init__(self) -> None:
        self.changes = 0
        self._rigs: dict[str, RigNow] = {}
        self._turn = Lock()

    def hello(self, device: str, name: str, introduction: Mapping[str, Any], *, now: datetime) -> None:
        """A rig has said what it is."""
        self._heard(device, name, now, introduction=introduction)

    def take(self, device: str, name: str, slot: Slot | None, *, now: datetime) -> None:
        """A rig was given this slot, or none."""
        self._heard(device, name, now, slot=slot)

    def here(self, device: str, name: str, slot: Slot | None, *, cost: Cost, now: datetime) -> None:
        """A rig says that it is there, and has this slot; without one it keeps what it was given."""
        self._heard(device, name, now, cost=cost, **({"slot": slot} if slot else {}))

    def leave(self, device: str, name: str, *, now: datetime) -> None:
        """A rig takes part no longer; its slot is given to others."""
        self._heard(device, name, now, slot=None, ended=True)

    def _heard(self, device: str, name: str, now: datetime, **told: Any) -> None:
        with self._turn:
            before = self._rigs.get(device)
            known = before or RigNow(device=device, name=name, heard_at=now)
            told = {"ended": False, **told, "heard_at": now}
            heard = self._rigs[device] = replace(known, **told)
            missed = before is None or before.ended or before.quiet_s(now) is not None
            self.changes += missed or heard.ended or heard.slot != known.slot

    def taken_by_others(self, device: str, *, now: datetime) -> frozenset[Slot]:
        """The slots that other rigs have."""
        return frozenset(
            rig.slot
            for rig in self.all()
            if rig.device != device and rig.slot and now - rig.heard_at < HELD_FOR
        )

    def all(self) -> tuple[RigNow, ...]:
        """Every rig that has been heard, the latest first."""
        with self._turn:
            return tuple(sorted(self._rigs.values(), key=lambda rig: rig.heard_at, reverse=True))
