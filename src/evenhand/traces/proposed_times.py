"""Which columns of a log are times, in which unit, and what that makes of a frame log."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.records.layouts import Column, Role
from evenhand.traces.evidence import Evidence
from evenhand.traces.proposed_clocks import (
    PLAUSIBLE_MS,
    TIME_UNITS,
    TIME_WORDS,
    by_size,
    clock_by_fit,
    clock_unit,
    close,
    counted_seconds,
    counts_since_1970,
    find_clock,
    fits,
)
from evenhand.traces.proposing import ABOUT, Proposed, header_says, unused
from evenhand.units import UNITS

FRAME_WORDS = frozenset({"frame", "frames", "frametime", "delta", "dt", "interval", "ft"})
TIMING_WORDS = FRAME_WORDS | TIME_WORDS

SHARE_SLACK = 1.05  # a share of a frame is no longer than the frame, noise aside


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Timing:
    """The columns that carry time, as far as there are any, and the units they seem to be in.

    `agree` says that the clock's steps and the frame times are the same within a tenth.
    """

    stamp: Evidence | None = None
    clock: Evidence | None = None
    frame: Evidence | None = None
    clock_unit: str = ""
    frame_unit: str = ""
    agree: bool = False

    @property
    def step_s(self) -> float:
        """The clock's usual step in seconds; NaN without a clock."""
        if self.clock is None:
            return float("nan")
        return self.clock.median_step * UNITS[self.clock_unit].factor


def find_timing(columns: Sequence[Evidence]) -> Timing:
    """The likeliest time columns: dates by their look, clocks by rising, frame times by name and fit."""
    stamp = next((c for c in columns if c.timed), None)
    numbers = [c for c in columns if c.is_numeric and not _counts_rows(c)]
    numeric = [c for c in numbers if not c.is_rate]
    speaking = [c for c in numeric if _speaks_of_time(c)]
    clock = find_clock(numeric, speaking)
    frames = [c for c in speaking if not c.rising and not _is_share(c)]  # what never falls is no frame time
    frame = max(frames, key=lambda c: _frame_rank(c, clock), default=None)
    if frame is None and clock is None and stamp is None:
        clock = counted_seconds(columns)
        frame = _lone_frame_times(numbers) if clock is None else None
    frame_unit = _frame_unit(frame, clock) if frame is not None else ""
    if frame is not None and clock is None and stamp is None:
        clock = clock_by_fit(columns, frame, frame_unit)
    return _timing(stamp, clock, frame, frame_unit)


def _timing(
    stamp: Evidence | None, clock: Evidence | None, frame: Evidence | None, frame_unit: str
) -> Timing:
    unit = clock_unit(clock, frame, frame_unit) if clock is not None else ""
    agree = fits(clock, unit, frame, frame_unit) if clock is not None and frame is not None else False
    return Timing(stamp=stamp, clock=clock, frame=frame, clock_unit=unit, frame_unit=frame_unit, agree=agree)


def _speaks_of_time(seen: Evidence) -> bool:
    if seen.unit is not None:
        return seen.unit.quantity == "time"
    return bool(seen.words & TIMING_WORDS)


def _counts_rows(seen: Evidence) -> bool:
    return seen.counter and seen.unit is None


def _is_share(seen: Evidence) -> bool:
    return bool(seen.words & (ABOUT["processor"] | ABOUT["graphics"]))


def _frame_rank(seen: Evidence, clock: Evidence | None) -> tuple[int, float]:
    named = 2 * bool(seen.words & FRAME_WORDS) + bool(seen.words & TIME_WORDS)
    fits = clock is not None and any(
        close(clock.median_step * UNITS[a].factor, seen.median * UNITS[b].factor)
        for a in _units(clock) for b in _units(seen)
    )  # fmt: skip
    return named + 3 * fits, seen.median


def _units(seen: Evidence) -> tuple[str, ...]:
    return (seen.unit.symbol,) if seen.unit is not None else TIME_UNITS


def _lone_frame_times(numeric: Sequence[Evidence]) -> Evidence | None:
    """Without any word of time: the only column of numbers, if it may be milliseconds."""
    only = numeric[0] if len(numeric) == 1 and numeric[0].unit is None and not numeric[0].is_rate else None
    return (
        only
        if only is not None and not only.rising and PLAUSIBLE_MS[0] <= only.median <= PLAUSIBLE_MS[1]
        else None
    )


def _frame_unit(frame: Evidence, clock: Evidence | None) -> str:
    """By the header; else by agreement with a clock that names its unit; else by size."""
    if frame.unit is not None:
        return frame.unit.symbol
    if clock is not None and clock.unit is not None:
        step_s = clock.median_step * clock.unit.factor
        fitting = [u for u in TIME_UNITS if close(step_s, frame.median * UNITS[u].factor)]
        if fitting:
            return fitting[0]
    return by_size(frame.median)


def propose_frames(columns: Sequence[Evidence], timing: Timing) -> list[Proposed]:
    """Every column of a frame log."""
    return [_frame_column(c, timing) for c in columns]


def _frame_column(seen: Evidence, timing: Timing) -> Proposed:
    if seen is timing.frame:
        return _frame_time(seen, timing)
    if seen is timing.clock:
        return clock_column(seen, timing)
    if seen is timing.stamp and timing.clock is None:
        column = Column(header=seen.header, role=Role.TIMESTAMP)
        return Proposed(column=column, reason="fields look like dates or times of day")
    if _counts_rows(seen):
        return unused(seen, "counts rows one by one")
    if seen.is_rate:
        return unused(seen, "a rate, not a time")
    if timing.clock is not None and seen.rising and _speaks_of_time(seen):
        return unused(seen, f"a clock too, as '{timing.clock.header}' is; one is enough")
    if timing.frame is not None and _is_share(seen) and _speaks_of_time(seen) and not seen.rising:
        return _share(seen, timing.frame, timing.frame_unit)
    return unused(seen, f"{header_says(seen, ())}; not needed for frames")


def _frame_time(seen: Evidence, timing: Timing) -> Proposed:
    low, high = PLAUSIBLE_MS
    median_ms = seen.median * UNITS[timing.frame_unit].factor * 1e3
    plausible = low <= median_ms <= high
    said = f"{header_says(seen, TIMING_WORDS)}; {seen.span}"
    rate = (
        f"read as {timing.frame_unit}, about {1e3 / median_ms:.0f} frames per second" if median_ms > 0 else ""
    )
    if timing.agree:
        rate += "; they add up to what the clock spans"
    elif timing.clock is not None:
        rate += "; they do not add up to what the clock spans"
    named = bool(seen.words & FRAME_WORDS) and seen.unit is not None
    sure = plausible and (timing.agree or (named and timing.clock is None))
    column = Column(header=seen.header, role=Role.FRAME_TIME, unit=timing.frame_unit)
    return Proposed(column=column, reason=f"{said}, {rate}" if rate else said, sure=sure)


def clock_column(seen: Evidence, timing: Timing) -> Proposed:
    """The elapsed time of a frame log or a sensor log."""
    step = f"a step of {seen.median_step:.4g} read as {timing.clock_unit}"
    agrees = ", which agrees with the frame times" if timing.agree else ""
    since = ", counted since 1970" if counts_since_1970(seen, timing.clock_unit) else ""
    reason = f"{header_says(seen, TIMING_WORDS)}; never falls, {step}{agrees}{since}"
    sure = seen.unit is not None or (timing.agree and bool(seen.words & TIMING_WORDS))
    return Proposed(
        column=Column(header=seen.header, role=Role.ELAPSED, unit=timing.clock_unit), reason=reason, sure=sure
    )


def _share(seen: Evidence, frame: Evidence, frame_unit: str) -> Proposed:
    """A share of the frame that processor or graphics account for."""
    unit = seen.unit.symbol if seen.unit is not None else frame_unit
    within = seen.median * UNITS[unit].factor <= SHARE_SLACK * frame.median * UNITS[frame_unit].factor
    graphics = bool(seen.words & ABOUT["graphics"])
    role = Role.GRAPHICS_SHARE if graphics else Role.PROCESSOR_SHARE
    says = header_says(seen, ABOUT["graphics"] | ABOUT["processor"])
    fits = "no longer than the frame" if within else "longer than the frame itself"
    return Proposed(
        column=Column(header=seen.header, role=role, unit=unit), reason=f"{says}; {fits}", sure=within
    )
