"""What a part draws by the trials whose watts are on record: for each meter a fit of its own, or why none.

Watts at the wall hold the whole machine and what its supply loses; those of the part's own sensor hold what
that sensor says. Two meters go into no fit together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from evenhand.records.trials import Meter, Outcome, Trial, Tuned
from evenhand.tuning.mapping import whole_mv
from evenhand.tuning.watts import FEWEST, SWITCHING_SPAN, Drawn, Points, fit_watts, points

LEAST_H = 0.05
"""Three minutes: before, a cooler is hardly warm, and the mean holds much of what came before the load."""


class Lack(StrEnum):
    """Why watts of one meter tell no power law."""

    LEFT_ALONE = "its voltage is left alone"
    OFFSETS = "voltages are offsets, and the voltage at stock is not noted"
    FEW = "too few points"
    ALIKE = "points that are too alike"


@dataclass(frozen=True, slots=True, kw_only=True)
class Metered:
    """The trials of one meter that tell what a part draws, and the law that they tell; None where they lack.

    `trials` are those that were used. Of the others with watts `left` were throttled, or ran less than three
    minutes; `unread` had no temperature, where enough others have one. `warm` says that temperatures were
    used. `points` counts clocks and voltages that differ; `span` is how many times its least V²·f goes to.
    """

    meter: Meter
    trials: tuple[Trial, ...]
    left: int = 0
    unread: int = 0
    points: int = 0
    span: float = 1.0
    warm: bool = False
    power: Drawn | None = None
    lack: Lack | None = None


def metered(tuned: Tuned, trials: Sequence[Trial]) -> tuple[Metered, ...]:
    """For each meter that any of these trials has watts of, what they tell. Trials are of one load."""
    return tuple(
        _of_meter(tuned, meter, own)
        for meter in Meter
        if (own := [trial for trial in trials if trial.watts is not None and trial.watts_at is meter])
    )


def _of_meter(tuned: Tuned, meter: Meter, read: Sequence[Trial]) -> Metered:
    if tuned.clock_alone:
        return Metered(meter=meter, trials=(), lack=Lack.LEFT_ALONE)
    if tuned.offset and tuned.stock_voltage_mv is None:
        return Metered(meter=meter, trials=(), lack=Lack.OFFSETS)
    usable = tuple(each for each in read if each.outcome is not Outcome.THROTTLED and each.hours >= LEAST_H)
    left = len(read) - len(usable)
    warm = tuple(each for each in usable if each.hottest_c is not None)
    if _lack(tuned, warm) is None:
        return _fitted(tuned, meter, warm, left=left, unread=len(usable) - len(warm), warm=True)
    return _fitted(tuned, meter, usable, left=left, unread=0, warm=False)


def _fitted(
    tuned: Tuned, meter: Meter, own: tuple[Trial, ...], *, left: int, unread: int, warm: bool
) -> Metered:
    lack = _lack(tuned, own)
    switching = _points(tuned, own, warm=False).switching if own else ()
    return Metered(
        meter=meter, trials=own, left=left, unread=unread, points=_different(own), warm=warm, lack=lack,
        span=float(max(switching) / min(switching)) if own else 1.0,
        power=fit_watts(_points(tuned, own, warm=warm)) if lack is None else None,
    )  # fmt: skip


def _lack(tuned: Tuned, own: Sequence[Trial]) -> Lack | None:
    if _different(own) < FEWEST:
        return Lack.FEW
    switching = _points(tuned, own, warm=False).switching
    return Lack.ALIKE if switching.max() < SWITCHING_SPAN * switching.min() else None


def _different(own: Sequence[Trial]) -> int:
    return len({(each.clock_mhz, each.voltage_mv) for each in own})


def _points(tuned: Tuned, own: Sequence[Trial], *, warm: bool) -> Points:
    return points(
        [whole_v(tuned, each.voltage_mv) for each in own],
        [each.clock_mhz for each in own],
        [each.watts or 0.0 for each in own],
        [each.hottest_c or 0.0 for each in own] if warm else None,
    )


def whole_v(tuned: Tuned, voltage_mv: float) -> float:
    """The voltage that a part is fed with, in V: an offset with stock.

    >>> part = Tuned(setup="s", part="processor", stock_clock_mhz=4500, stock_voltage_mv=1150,
    ...              clock_step_mhz=50, voltage_step_mv=5, offset=True)
    >>> whole_v(part, -30.0)
    1.12
    """
    return whole_mv(tuned, voltage_mv) / 1000
