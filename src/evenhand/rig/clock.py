"""The workbench's time, kept without this machine's own clock, which may be wrong or be set meanwhile."""

from __future__ import annotations

import time
from datetime import UTC, datetime, timedelta


class Clock:
    """Counts on from what the workbench last said; neither a wrong clock nor a change to summer time matters.

    Until the workbench has said anything it counts on from this machine's clock.
    """

    __slots__ = ("_since", "_then")

    def __init__(self) -> None:
        self._then, self._since = datetime.now(UTC), time.monotonic()

    def set(self, told: datetime, *, asked: float, answered: float) -> None:
        """The workbench said its time between these two moments, in seconds of the monotonic clock."""
        self._then, self._since = told.astimezone(UTC), (asked + answered) / 2

    def now(self) -> datetime:
        """The workbench's time now."""
        return self._then + timedelta(seconds=time.monotonic() - self._since)
