"""What every number of a run means. The definition travels with the number, under its key.

Two numbers may meet in one ratio only if they stand under the same key: findings are kept apart by it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from types import MappingProxyType

from evenhand.errors import BadRecord, NotFound, nearest
from evenhand.metrics.run_metrics import Definition
from evenhand.metrics.sensor_keys import sensor_definition

# Two budgets are so common that they carry short keys: one frame of a 60 Hz and of a 30 Hz screen.
NAMED_BUDGETS_MS = MappingProxyType({"over_16_7_ms_pct": 1000 / 60, "over_33_3_ms_pct": 1000 / 30})

# A frame is over a budget from this much beyond it, so that a rate held exactly at the budget is not
# called over it because a log rounds up.
BUDGET_ROOM_MS = 0.05

_BUDGET_KEY = re.compile(r"over_(\d+)_(\d{3})_ms_pct")


def budget_key(budget_ms: float) -> str:
    """The key of "time over a budget" for this budget; a budget without a short key is held to 0.001 ms.

    >>> budget_key(1000 / 60), budget_key(1000 / 144), budget_key(16.7)
    ('over_16_7_ms_pct', 'over_6_944_ms_pct', 'over_16_700_ms_pct')
    """
    named = [key for key, value in NAMED_BUDGETS_MS.items() if value == budget_ms]
    if named:
        return named[0]
    if not (math.isfinite(budget_ms) and budget_ms >= 0.001):
        raise BadRecord(f"{budget_ms} ms is no frame time budget", todo="give a budget of at least 0.001 ms")
    return f"over_{budget_ms:.3f}_ms_pct".replace(".", "_")


def budget_of(key: str) -> float | None:
    """The exact budget in milliseconds behind a key, or None where the key is not one of a budget.

    >>> budget_of("over_6_944_ms_pct"), budget_of("average_fps")
    (6.944, None)
    """
    if key in NAMED_BUDGETS_MS:
        return NAMED_BUDGETS_MS[key]
    parts = _BUDGET_KEY.fullmatch(key)
    return float(f"{parts[1]}.{parts[2]}") if parts else None


def keyed_budgets(budgets_ms: Iterable[float]) -> dict[str, float]:
    """Each budget under its key, exactly as the key states it.

    >>> keyed_budgets([16.7004])
    {'over_16_700_ms_pct': 16.7}
    """
    keys = [budget_key(budget_ms) for budget_ms in budgets_ms]
    return {key: exact for key in keys if (exact := budget_of(key)) is not None}


def definition(key: str) -> Definition:
    """The definition under this key: of the table, of a budget, or of a sensor's summary.

    >>> definition("low_1pct").label
    '1% low'
    >>> definition("low_1pc")
    Traceback (most recent call last):
    evenhand.errors.NotFound: no number is defined as 'low_1pc'; did you mean 'low_1pct'?
    """
    found = DEFINITIONS.get(key) or _budget_definition(key) or sensor_definition(key)
    if found is None:
        raise NotFound(f"no number is defined as '{key}'", todo=nearest(key, DEFINITIONS))
    return found


def _budget_definition(key: str) -> Definition | None:
    budget_ms = budget_of(key)
    if budget_ms is None:
        return None
    return Definition(
        key=key,
        label=f"time over {budget_ms:.3g} ms" if key in NAMED_BUDGETS_MS else f"time over {budget_ms:g} ms",
        unit="%",
        better="lower",
        rankable=False,
        meaning=f"The share of the run's time spent in frames longer than {budget_ms:.6g} ms by more than "
        f"{BUDGET_ROOM_MS} ms, so that a rate held at the budget is within it.",
    )


def _by_key(definitions: Iterable[Definition]) -> Mapping[str, Definition]:
    return MappingProxyType({d.key: d for d in definitions})


def _row(key: str, label: str, unit: str, better: str, meaning: str) -> Definition:
    return Definition(
        key=key, label=label, unit=unit, better=better, rankable=key in RANKABLE, meaning=meaning
    )


# What may enter a finding. The others are shown: too scattered from run to run, growing with the run's
# length, or counts that may be zero, which have no logarithm (two rates of events: `stats.counts`).
RANKABLE = frozenset({"average_fps", "low_1pct", "score", "wall_w", "joules_per_frame"})

DEFINITIONS: Mapping[str, Definition] = _by_key([
    _row("average_fps", "average frame rate", "fps", "higher",
         "1000 times the number of frames, divided by the sum of their frame times in ms."),
    _row("low_1pct", "1% low", "fps", "higher",
         "1000 divided by the 99th percentile (linear between order statistics) of the frame times in ms."),
    _row("low_1pct_slowest_mean", "1% low, mean of the slowest", "fps", "higher",
         "1000 divided by the mean of the slowest 1 % of the frame times in ms, their number rounded up."),
    _row("low_1pct_time_weighted", "1% low, by time", "fps", "higher",
         "1000 divided by the longest frame time in ms such that frames at least as long fill 1 % of the "
         "run's time."),
    _row("low_01pct", "0.1% low", "fps", "higher",
         "1000 divided by the 99.9th percentile (linear between order statistics) of the frame times in ms, "
         "from 10,000 frames up."),
    _row("minimum_fps", "minimum", "fps", "higher",
         "1000 divided by the longest frame time in ms; it falls as runs lengthen."),
    _row("hitches", "hitches", "1", "lower",
         "The number of unbroken stretches of frames that each last more than 2.5 times and more than 8 ms "
         "above the median of the 61 frames around them."),
    _row("hitches_per_min", "hitches per minute", "1/min", "lower",
         "The number of hitches (unbroken stretches of frames that each last more than 2.5 times and more "
         "than 8 ms above the median of the 61 frames around them) per minute of the run."),
    _row("stutter_share_pct", "stutter share", "%", "lower",
         "The share of the run's time spent in frames that last more than 2.5 times and more than 8 ms above "
         "the median of the 61 frames around them."),
    *(d for d in map(_budget_definition, NAMED_BUDGETS_MS) if d),
    _row("pacing_median_ms", "frame pacing, median", "ms", "lower",
         "The median of the absolute difference between the times of neighbouring frames."),
    _row("pacing_p99_ms", "frame pacing, 99th percentile", "ms", "lower",
         "The 99th percentile (linear between order statistics) of the absolute difference between the times "
         "of neighbouring frames."),
    _row("frames", "frames", "1", "",
         "The number of frames with a finite frame time above zero; all other numbers use these alone."),
    _row("frames_left_out", "frames left out", "1", "lower",
         "The number of logged frames whose frame time is zero, negative or not a finite number."),
    _row("duration_s", "duration", "s", "",
         "The sum of the frame times that are finite and above zero."),
    _row("score", "score", "", "",
         "The run's result in the unit and direction of its test, as written down."),
    _row("wall_w", "power at the wall", "W", "lower",
         "The watts that a meter between machine and wall socket showed during the run, as written down."),
    _row("joules_per_frame", "energy per frame", "J", "lower",
         "The watts at the wall divided by the average frame rate."),
])  # fmt: skip
