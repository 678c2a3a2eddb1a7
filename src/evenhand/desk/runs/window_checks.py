"""Whether a measured window fits the logs that it would cut, said before anything is cut."""

from __future__ import annotations

from collections.abc import Iterable

from evenhand.desk.logs.measuring import window_of
from evenhand.desk.on_record import RunOnRecord
from evenhand.desk.runs.candidates import Loader
from evenhand.errors import BadRecord
from evenhand.metrics.frames import usable_frames
from evenhand.publish.numbers import counted, number, with_unit
from evenhand.records.faults import Fault, Severity
from evenhand.records.tests import Test
from evenhand.traces.cutting import cut, length_s
from evenhand.traces.trace import Trace
from evenhand.triage.limits.mechanical import LengthLimits
from evenhand.triage.thresholds import DEFAULT

OUTSIDE = "window-past-log"
EDGE_S = 0.1  # an end that lies no further past a log is taken for its end: people read lengths off charts
SHOWN = 3  # runs that are named where a window fits several of them not


def refuse_unfit(test: Test, runs: Iterable[RunOnRecord], loader: Loader) -> None:
    """Raises BadRecord where the window that stands for one of these runs leaves too little of it."""
    unfit = {}
    for each in runs:
        trace = loader.trace(each, test)
        why = "" if trace is None else unfit_words(each, test, trace)
        if why:
            unfit[each.run.label] = why
    if unfit:
        more = f"; and {len(unfit) - SHOWN} more" if len(unfit) > SHOWN else ""
        raise BadRecord(
            "; ".join(list(unfit.values())[:SHOWN]) + more,
            where=f"the measured window of {test.name}",
            todo=(
                "choose a window that lies in every run; or set the short run aside, or give it a window of "
                "its own with a reason, and cut again. Nothing was changed"
            ),
        )


def unfit_words(each: RunOnRecord, test: Test, trace: Trace, limits: LengthLimits = DEFAULT.length) -> str:
    """What keeps a window from fitting a run's log, "" where it fits."""
    window, outside = window_of(test, each.run), outside_words(each, test, trace)
    if window.whole or outside:
        return outside
    part = cut(trace, window)
    frames, left_s = usable_frames(part).size, length_s(part)
    brief = not test.free_length and left_s < limits.least_s
    if brief or frames < limits.least_frames:
        least = [seconds(limits.least_s)] if not test.free_length else []
        asked = " and ".join([*least, counted(limits.least_frames, "frame")])
        left = f"{counted(frames, 'frame')} in {with_unit(number(left_s, 2), 's')}"
        return f"of {each.run.label} {left} would be left, and at least {asked} are needed"
    return ""


def outside_words(each: RunOnRecord, test: Test, trace: Trace) -> str:
    """Which side of its window a run's log does not reach, "" where it holds both."""
    window, whole_s = window_of(test, each.run), length_s(trace)
    lasts = f"{each.run.label} lasts {seconds(whole_s)}"
    if not window.whole and window.start_s >= whole_s:
        return f"{lasts}, and the window begins at {seconds(window.start_s)}"
    if window.end_s is not None and window.end_s > whole_s + EDGE_S:
        return f"{lasts}, and the window ends at {seconds(window.end_s)}"
    return ""


def outside(each: RunOnRecord, test: Test, trace: Trace) -> Fault | None:
    """The fault of a run whose measured window lies past its log; None where it does not."""
    words = outside_words(each, test, trace)
    if not words:
        return None
    nothing = window_of(test, each.run).start_s >= length_s(trace)
    own = each.run.window is not None
    return Fault(
        kind=OUTSIDE,
        title="The measured window lies past the log",
        severity=Severity.BLOCKS if nothing else Severity.IN_DOUBT,
        evidence=f"{words}.",
        todo=(
            f"Correct the window of {'this run' if own else test.name}; or, if this log was stopped early, "
            "set the run aside or give it a window of its own with a reason."
        ),
    )


def seconds(value: float) -> str:
    """A moment or a length of a log as one reads it."""
    return with_unit(number(value, 1), "s")
