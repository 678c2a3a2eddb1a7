"""A trial that a rig says it is running: how it stood when last heard, and who wants it ended."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from evenhand.records.trials import Trial

QUIET_AFTER = timedelta(seconds=20)  # a rig tells every five seconds while its trial runs


@dataclass(frozen=True, slots=True, kw_only=True)
class UnderWay:
    """A trial of which no record has come yet.

    `trial` is as it would be if it were stopped now: its `hours` are those it had held when it was last
    heard. `rig` is the device that runs it. Moments are by the workbench's clock. `over` says that the rig
    has ended it and its record is on its way. `given_up_at` is when somebody said that no record will come.
    """

    trial: Trial
    rig: str
    begun_at: datetime
    heard_at: datetime
    over: bool = False
    stop_at: datetime | None = None
    stop_by: str = ""
    given_up_at: datetime | None = None
    given_up_why: str = ""

    def quiet(self, now: datetime) -> bool:
        """Whether nothing was heard of it for longer than usual, though it has not ended."""
        return not self.over and now - self.heard_at >= QUIET_AFTER
