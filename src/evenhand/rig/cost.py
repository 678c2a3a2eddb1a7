"""What taking part costs this machine: our own share of one core, and our own memory."""

from __future__ import annotations

import time
from dataclasses import dataclass

from evenhand.rig.readings.machine import own_memory_mib

TOO_SHORT_S = 10.0  # a share of less time says nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """Percent of one core since it was first measured, and MiB of memory where the system tells."""

    share_pct: float | None
    memory_mib: float | None

    @property
    def words(self) -> str:
        """It in words.

        >>> Cost(share_pct=0.213, memory_mib=18.64).words
        '0.21 % of one core, 18.6 MiB of memory'
        >>> Cost(share_pct=None, memory_mib=None).words
        'too little to say yet'
        """
        share = None if self.share_pct is None else f"{self.share_pct:.2f} % of one core"
        memory = None if self.memory_mib is None else f"{self.memory_mib:.1f} MiB of memory"
        return ", ".join(filter(None, (share, memory))) or "too little to say yet"


class Meter:
    """Measures from the moment it is made."""

    __slots__ = ("_begin", "_spent")

    def __init__(self) -> None:
        self._begin, self._spent = time.monotonic(), time.process_time()

    def cost(self) -> Cost:
        """What it has cost so far."""
        took, spent = time.monotonic() - self._begin, time.process_time() - self._spent
        share = 100.0 * spent / took if took >= TOO_SHORT_S else None
        return Cost(share_pct=share, memory_mib=own_memory_mib())
