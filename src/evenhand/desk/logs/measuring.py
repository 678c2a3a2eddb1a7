"""A run's numbers from its frames and sensors, in the measured window that stands for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from evenhand.metrics.alignment import Alignment, clock_was_set, part_of_run
from evenhand.metrics.frames import measure
from evenhand.metrics.run_metrics import RunMetrics
from evenhand.metrics.sensors import summarise
from evenhand.metrics.within_run import within_run
from evenhand.records.runs import Run
from evenhand.records.tests import Measures, Test
from evenhand.records.windows import WHOLE, Window, standing
from evenhand.traces.cutting import cut, cut_sensors, length_s
from evenhand.traces.trace import SensorLog, Trace

NO_READING = "the sensor log has no reading in the measured window"


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """Whose sensors are looked for: all frames of a run, where it has any, and what is said of its time."""

    trace: Trace | None
    started_at: datetime | None
    duration_s: float | None

    @property
    def lasts_s(self) -> float | None:
        """How long the whole run lasts: as is said of it, or else as its frames do."""
        return self.duration_s or (None if self.trace is None else length_s(self.trace))

    def part_of(self, log: SensorLog, window: Window = WHOLE) -> tuple[SensorLog, Alignment] | None:
        """The readings beside what is measured, and what told which those are; None where nothing tells.

        The whole run is looked for in the log, whatever is measured of it: more frames tell more.
        """
        frames = None if self.trace is None else self.trace.frame_times_ms
        found = part_of_run(log, frames, started_at=self.started_at, duration_s=self.lasts_s)
        return None if found is None else (cut_sensors(found[0], self.trace, window), found[1])


def window_of(test: Test, run: Run) -> Window:
    """The window that a run of a test is measured in; a score has none."""
    return WHOLE if test.measures is Measures.SCORE else standing(test.window, run.window)


def frames_measured(trace: Trace, window: Window) -> RunMetrics:
    """The numbers of the frames that begin in the window, with their intervals within the run."""
    part = cut(trace, window)
    return replace(measure(part), within_run=within_run(part))


def with_log(metrics: RunMetrics, log: SensorLog, taken: Taken, window: Window) -> RunMetrics:
    """The numbers with the summaries of the sensors beside what is measured, or why there are none."""
    found = taken.part_of(log, window)
    if found is None:
        return without_sensors(metrics, nowhere(log, taken.started_at, taken.lasts_s))
    if not found[0].time_s.size:
        return without_sensors(metrics, NO_READING)
    return replace(metrics, values={**metrics.values, **summarise(found[0])})


def nowhere(log: SensorLog, started_at: datetime | None, duration_s: float | None) -> str:
    """Why no part of a sensor log could be told to be this run's."""
    if duration_s is None:
        return "the sensor log covers more than this run: its start and length are needed to pick its part"
    if clock_was_set(log):
        days = (log.time_s[-1] - log.time_s[0]) / 86_400
        return f"the clock of the sensor log was set while it was written: its readings span {days:,.0f} days"
    if log.time_s[-1] < log.time_s[0]:
        back_s = log.time_s[0] - log.time_s[-1]
        return f"the clock of the sensor log runs back: its last reading lies {back_s:.0f} s before its first"
    length = f"the sensor log lasts {log.time_s[-1] - log.time_s[0]:.0f} s, the run {duration_s:.0f} s"
    if started_at is not None and log.started_at is not None:
        ended_at = started_at + timedelta(seconds=duration_s)
        between = f"between {started_at.isoformat()} and {ended_at.isoformat(timespec='seconds')}"
        return f"{length}, and it has no reading {between}"
    return f"{length}, and neither load nor course tell where it lies: its start is needed to pick its part"


def without_sensors(metrics: RunMetrics, why: str) -> RunMetrics:
    """The numbers with the reason why no sensor is among them."""
    absent: Mapping[str, str] = {**metrics.absent, "sensors": why}
    return replace(metrics, absent=absent)
