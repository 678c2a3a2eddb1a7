"""What a number means, in the few words that a picture has room for; its definition says it in full."""

from __future__ import annotations

from collections.abc import Iterable

from evenhand.publish.numbers import capital
from evenhand.publish.reservations import metric_name
from evenhand.records.tests import Direction

IN_SHORT = {
    "average_fps": "average fps",
    "score": "score as reported",
    "low_1pct": "1% low: 1000 ÷ P99 of frame time",
    "low_01pct": "0.1% low: 1000 ÷ P99.9 of frame time",
    "low_1pct_slowest_mean": "1% low: 1000 ÷ mean of the slowest 1 % of frame times",
    "low_1pct_time_weighted": "1% low: 1000 ÷ the frame time that longer ones fill 1 % of the run with",
}
LOWS = {"1% low": "low_1pct", "0.1% low": "low_01pct"}


def meaning(metrics: Iterable[str]) -> str:
    """The definitions behind these metrics, once each, as one sentence.

    >>> meaning(["average_fps", "low_1pct", "average_fps"])
    'Average fps; 1% low: 1000 ÷ P99 of frame time.'
    """
    said = [IN_SHORT.get(key) or metric_name(key) for key in dict.fromkeys(metrics)]
    return f"{capital('; '.join(said))}." if said else ""


def which_is_better(better: Direction | None) -> tuple[str, ...]:
    """Which way a number is better, as a sentence; none where it is not known.

    >>> which_is_better(Direction.LOWER), which_is_better(Direction.HIGHER)
    (('Less is better.',), ('More is better.',))
    """
    if better is None:
        return ()
    return ("Less is better.",) if better is Direction.LOWER else ("More is better.",)
