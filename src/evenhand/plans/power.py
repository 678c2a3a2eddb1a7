"""What so many runs will show: the width to expect, and the runs that a difference of some size needs."""

from __future__ import annotations

import math
from dataclasses import dataclass

from evenhand.stats.special_functions import special

POWER = 0.8
MOST_RUNS = 60  # a side: beyond, nobody waits for the answer


@dataclass(frozen=True, slots=True, kw_only=True)
class Scatter:
    """How far runs of one test lie apart: sd of logs, and the degrees of freedom that other tests lend."""

    sd: float
    lent_df: float = 0.0


def half_width(scatter: Scatter, runs: int, *, level: float = 0.95) -> float:
    """Half the width to expect of the interval of a log difference with so many runs of each setup.

    t(lent + 2(n−1))·sd·√(2/n), as `stats.between` makes it.

    >>> round(half_width(Scatter(sd=0.01, lent_df=3.0), 5), 4)
    0.0139
    """
    t = float(special.stdtrit(scatter.lent_df + 2 * runs - 2, 0.5 + level / 2))
    return t * scatter.sd * math.sqrt(2 / runs)


def power(effect: float, scatter: Scatter, runs: int, *, alpha: float) -> float:
    """How often a true log difference is found in its true direction at a two-sided level, by noncentral t.

    Exact for a fixed number of runs and a spread known as well as its degrees of freedom say (Johnson & Welch
    1940); with further looks before that number it is a little more.

    >>> round(power(math.log(1.03), Scatter(sd=0.01, lent_df=3.0), 5, alpha=0.05 / 9), 2)
    0.86
    """
    df = scatter.lent_df + 2 * runs - 2
    t = float(special.stdtrit(df, 1 - alpha / 2))
    shift = abs(effect) / (scatter.sd * math.sqrt(2 / runs))
    return float(special.nctdtr(df, -shift, -t))


def runs_to_see(effect: float, scatter: Scatter, *, alpha: float, wanted: float = POWER) -> int | None:
    """The fewest runs of each setup with which a true log difference shows with this power; None beyond 60.

    >>> runs_to_see(math.log(1.03), Scatter(sd=0.01, lent_df=3.0), alpha=0.0205 / 9)
    6
    """
    each = range(2, MOST_RUNS + 1)
    return next((n for n in each if power(effect, scatter, n, alpha=alpha) >= wanted), None)
