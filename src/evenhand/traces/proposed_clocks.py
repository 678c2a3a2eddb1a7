"""Which column of a log is its clock, and in which unit it runs where no header says."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from evenhand.traces.evidence import Evidence
from evenhand.units import UNITS

TIME_WORDS = frozenset(
    {"time", "elapsed", "t", "seconds", "since", "timestamp", "timestamps", "stamp", "epoch"}
)
TIME_UNITS = ("s", "ms", "us", "ns")
PLAUSIBLE_MS = (0.3, 500.0)  # a median frame outside 2 to 3,300 frames a second has another unit
LONGEST_READING_S = 100.0  # sensors are read more often than that, and no slower than a tenth of their unit
SINCE_1970_S = (1e9, 4e9)  # 2001 to 2096: no machine has been up for thirty years
AGREES = 0.1  # steps of the clock and frame times agree within a tenth


def find_clock(numbers: Sequence[Evidence], speaks: Sequence[Evidence]) -> Evidence | None:
    """The column of numbers that never falls and whose header speaks of time (`speaks`)."""
    clocks = [c for c in numbers if c.rising and c in speaks]
    return max(clocks, key=_rank, default=None)


def clock_by_fit(columns: Sequence[Evidence], frame: Evidence, frame_unit: str) -> Evidence | None:
    """Without a word of time: the column that never falls and moves on as the frame times say."""
    rising = [c for c in columns if c.is_numeric and c.rising and not c.is_rate and c.unit is None]
    return next((c for c in rising if any(fits(c, u, frame, frame_unit) for u in TIME_UNITS)), None)


def counted_seconds(columns: Sequence[Evidence]) -> Evidence | None:
    """A column under a word of time that counts one by one: seconds, where no frame times stand beside it."""
    return next((c for c in columns if c.counter and c.unit is None and c.words & TIME_WORDS), None)


def _rank(seen: Evidence) -> tuple[bool, bool]:
    return bool(seen.words & TIME_WORDS), seen.unit is not None


def clock_unit(clock: Evidence, frame: Evidence | None, frame_unit: str) -> str:
    """By the header; else by agreement with the frame times; else by size, whole steps of one as seconds."""
    if clock.unit is not None:
        return clock.unit.symbol
    if frame is not None:
        frame_s = frame.median * UNITS[frame_unit].factor
        fitting = [u for u in TIME_UNITS if close(clock.median_step * UNITS[u].factor, frame_s)]
        if fitting:
            return fitting[0]
    return "s" if clock.counter else by_size(clock.median_step)


def reading_unit(clock: Evidence) -> str:
    """The unit of a clock beside sensors: the coarsest in which readings are at most 100 s apart.

    A clock of sensors ticks far slower than frames, so that the same number means another unit.
    """
    if clock.unit is not None:
        return clock.unit.symbol
    step = clock.median_step
    return next((u for u in TIME_UNITS if step * UNITS[u].factor <= LONGEST_READING_S), "ns")


def counts_since_1970(clock: Evidence, unit: str) -> bool:
    """Whether the clock's numbers are a date when read in `unit`.

    >>> seen = Evidence(header="epoch", words=frozenset({"epoch"}), unit=None,
    ...                 values=np.array([1.9357056e12, 1.9357057e12]), numeric=1.0, timed=False)
    >>> counts_since_1970(seen, "ms"), counts_since_1970(seen, "us")
    (True, False)
    """
    least, most = SINCE_1970_S
    return least <= clock.median * UNITS[unit].factor <= most


def by_size(value: float) -> str:
    """The unit in which one step is a plausible frame.

    >>> by_size(0.0167), by_size(16.7), by_size(16_700.0), by_size(16_700_000.0)
    ('s', 'ms', 'us', 'ns')
    """
    low, high = PLAUSIBLE_MS
    if value < low:
        return "s"
    return "ms" if value <= high else "us" if value <= 1e3 * high else "ns"


def close(a: float, b: float) -> bool:
    """Whether two numbers are the same within a tenth of the second."""
    return b > 0 and abs(a / b - 1) < AGREES


def fits(clock: Evidence, unit: str, frame: Evidence, frame_unit: str) -> bool:
    """Whether the frame times add up to what the clock spans, the first or the last of them aside."""
    known = clock.values[np.isfinite(clock.values)]
    times = frame.values[np.isfinite(frame.values)]
    if known.size < 2 or times.size < 2:
        return False
    span_s = float(known[-1] - known[0]) * UNITS[unit].factor
    unit_s = UNITS[frame_unit].factor
    return any(close(float(part.sum()) * unit_s, span_s) for part in (times[:-1], times[1:]))
