"""What hours at a point may claim: an upper bound of the failure rate, by those hours and nothing else."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from evenhand.records.trials import Trial
from evenhand.stats.counts import most_of_rate
from evenhand.tuning.evidence import failures_of

LEVEL = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class Against:
    """A point that failed although it asks no more of the part than one that held: what speaks against that.

    At a clock in MHz and a voltage in mV, an offset where `offset` says so, there were `failures` in `hours`;
    `others` counts further such points.
    """

    clock_mhz: float
    voltage_mv: float
    failures: int
    hours: float
    offset: bool = False
    others: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """What was seen at one point under one load, and what it bounds.

    In `hours` there were `failures`, of which `corrected` were errors that something put right; `rooms_c` are
    the coolest and the warmest room, None where it was never read. With `LEVEL` confidence there are at most
    `most_per_h` failures an hour, infinite without any hour. Where nothing failed, `against` is what failed
    though it asks no more: whoever tells the one tells the other.
    """

    hours: float
    failures: int
    trials: int
    rooms_c: tuple[float, float] | None
    unread_rooms: int
    most_per_h: float
    corrected: int = 0
    against: Against | None = None

    @property
    def fewer_than_one_in_h(self) -> float:
        """The hours in which fewer than one failure is to be expected, at that confidence."""
        return 1 / self.most_per_h


def claim(trials: Sequence[Trial]) -> Claim:
    """What trials at one point under one load claim.

    Source: λ ≤ χ²(0.95; 2k + 2) / (2T), the upper end of Garwood's 1936 interval taken from one side; where
    the last trial ended with its failure it holds all the more.
    """
    hours = sum(trial.hours for trial in trials)
    failures = sum(failures_of(trial) for trial in trials)
    rooms = [trial.room_c for trial in trials if trial.room_c is not None]
    return Claim(
        hours=hours, failures=failures, trials=len(trials),
        rooms_c=(min(rooms), max(rooms)) if rooms else None, unread_rooms=len(trials) - len(rooms),
        corrected=sum(trial.corrected for trial in trials),
        most_per_h=most_of_rate(failures, hours, level=LEVEL) if hours > 0 else float("inf"),
    )  # fmt: skip


def against(place: tuple[float, float], failed: Mapping[tuple[float, float], Claim], *, offset: bool) -> (
    Against | None
):  # fmt: skip
    """What speaks against a point that held, the easiest of the points that failed; None where nothing does.

    Both are clock and voltage. A point asks no more of the part with no higher clock and no less voltage.
    """
    easier = [other for other in failed if asks_no_more(other, place)]
    if not easier:
        return None
    clock, voltage = easiest = max(easier, key=lambda each: (each[1], -each[0]))
    return Against(
        clock_mhz=clock, voltage_mv=voltage, failures=failed[easiest].failures,
        hours=failed[easiest].hours, offset=offset, others=len(easier) - 1,
    )  # fmt: skip


def asks_no_more(place: tuple[float, float], than: tuple[float, float]) -> bool:
    """Whether a point (clock, voltage) asks no more of the part than another: no faster, no less voltage."""
    return place != than and place[0] <= than[0] and place[1] >= than[1]


def hours_to_claim(rate: float, so_far: Claim) -> float:
    """How many hours more without a failure it takes to claim at most `rate` failures an hour."""
    return max(most_of_rate(so_far.failures, 1.0, level=LEVEL) / rate - so_far.hours, 0.0)
