"""The measured window: which part of a log its numbers are made of."""

from __future__ import annotations

import math
from dataclasses import dataclass

from evenhand.errors import BadRecord


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """From `start_s` to `end_s`, seconds from a log's first frame; without an end, to the end of the log.

    It stands on a test, alike for each of its runs, or on one run, where `reason` must say why it is cut
    otherwise than its siblings. `by` is who cut. Times are of the log, whatever was cut of it before.
    Raises BadRecord for times between which nothing can lie.

    >>> Window(start_s=5.0, end_s=65.0).holds(5.0), Window(end_s=65.0).holds(65.0)
    (True, False)
    """

    start_s: float = 0.0
    end_s: float | None = None
    reason: str = ""
    by: str = ""

    def __post_init__(self) -> None:
        low, high = self.sides
        if low < 0:
            raise BadRecord(
                f"{low:g} s is before the beginning of a log",
                where="the measured window",
                todo="give a start of 0 s or later",
            )
        if not math.isfinite(low) or math.isnan(high) or self.end_s == math.inf or low >= high:
            raise BadRecord(
                f"nothing lies between {low:g} s and {high:g} s of a log",
                where="the measured window",
                todo="give a start of 0 s or later, and an end after it",
            )

    @property
    def sides(self) -> tuple[float, float]:
        """Where it begins and ends in seconds; infinity where it has no end."""
        return self.start_s, math.inf if self.end_s is None else self.end_s

    def __str__(self) -> str:
        end = "the end" if self.end_s is None else f"{self.end_s:g} s"
        return "the whole log" if self.whole else f"{self.start_s:g} s to {end}"

    @property
    def whole(self) -> bool:
        """Whether it leaves every log as it is."""
        return self.sides == (0.0, math.inf)

    def holds(self, begins_s: float) -> bool:
        """Whether a frame that begins then is measured: so each belongs to one of two windows that adjoin."""
        low, high = self.sides
        return low <= begins_s < high

    def cuts_like(self, other: Window | None) -> bool:
        """Whether both cut a log alike, whoever cut and why."""
        return self.sides == (WHOLE if other is None else other).sides


WHOLE = Window()


def standing(of_test: Window | None, of_run: Window | None) -> Window:
    """The window that a run is measured in: its own, or else its test's, or else all of its log.

    >>> standing(Window(end_s=60.0), Window(end_s=50.0, reason="paused")).end_s, standing(None, None).whole
    (50.0, True)
    """
    return of_run or of_test or WHOLE
