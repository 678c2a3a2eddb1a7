"""Looks declared in advance: at how many runs results are looked at, and how strictly then."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.errors import BadRecord


@dataclass(frozen=True, slots=True, kw_only=True)
class Looks:
    """Numbers of runs a setup and test at which results are looked at, with the levels that hold there.

    `ahead` is the two-sided level that p, times the number of comparisons, has to fall below; `level` that of
    each of the two one-sided tests. Nominal: over all looks together they come to about 5 %.
    """

    at: tuple[int, ...]
    ahead: float
    level: float

    @property
    def last(self) -> int:
        """The most runs of each that the plan asks for."""
        return self.at[-1]

    def passed(self, runs: int) -> int | None:
        """The last look that so many runs have reached.

        >>> CALIBRATED[0].passed(4), CALIBRATED[0].passed(2)
        (3, None)
        """
        return max((look for look in self.at if look <= runs), default=None)

    def after(self, runs: int) -> int | None:
        """The next look beyond so many runs; None where there is no further one."""
        return next((look for look in self.at if look > runs), None)


CALIBRATED = (
    Looks(at=(3, 5, 8), ahead=0.0205, level=0.0225),
    Looks(at=(3, 6, 12), ahead=0.019, level=0.0205),
    Looks(at=(3, 5, 8, 12), ahead=0.016, level=0.018),
    Looks(at=tuple(range(3, 13)), ahead=0.011, level=0.0125),
)
"""Sets of looks and their levels, found by simulation (docs/methods-live.md holds what they give)."""

ONCE = 0.05  # a single look, fixed in advance, needs no correction
FEWEST_RUNS = 2  # one run shows no spread
LONGEST = CALIBRATED[-1].at[-1]
MOST_RUNS = 60  # of each: nobody measures one test longer


def declared(at: Sequence[int]) -> Looks:
    """The levels for these looks. Raises BadRecord where they are not ones that can be declared.

    A set that lies within a calibrated one takes the largest levels among those: to look less often than was
    calibrated for errs to the careful side. A single look stands at 5 %.

    >>> declared((3, 5)).ahead, declared((4,)).ahead, declared((4, 9)).ahead
    (0.0205, 0.05, 0.011)
    """
    looks = tuple(at)
    if not looks or list(looks) != sorted(set(looks)) or looks[0] < FEWEST_RUNS:
        told = ", ".join(map(str, looks)) or "none"
        raise BadRecord(
            f"looks must be rising numbers of runs from {FEWEST_RUNS} on: {told}",
            where="looks",
            todo="write them as 3,5,8",
        )
    if looks[-1] > MOST_RUNS:
        raise BadRecord(
            f"{looks[-1]} runs of each are more than a plan holds",
            where="looks",
            todo=f"declare looks up to {MOST_RUNS} runs",
        )
    if len(looks) == 1:
        return Looks(at=looks, ahead=ONCE, level=ONCE)
    fitting = [known for known in CALIBRATED if set(looks) <= set(known.at)]
    if not fitting:
        raise BadRecord(
            f"no levels are known for looks at {', '.join(map(str, looks))} runs",
            where="looks",
            todo=f"choose several from 3 to {LONGEST}, or a single one",
        )
    best = max(fitting, key=lambda known: known.ahead)
    return Looks(at=looks, ahead=best.ahead, level=best.level)
