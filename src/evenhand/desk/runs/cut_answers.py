"""A cut for programs and terminals: what it changes, looked at or stored."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from evenhand.desk.logs.measuring import window_of
from evenhand.desk.on_record import RunOnRecord, load_study
from evenhand.desk.runs.cut_preview import CutPreview, preview_cut
from evenhand.desk.runs.cutting import CutAsked, cut_as_asked, sight_of_window, undo_cut
from evenhand.desk.runs.deciding import find_run
from evenhand.findings.finding import Finding
from evenhand.records.tests import Test
from evenhand.records.windows import Window
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

Answer = dict[str, Any]
NUMBERS = ("duration_s", "average_fps", "low_1pct")


def look(wb: Workbench, asked: CutAsked) -> Answer:
    """What a cut would change; nothing is stored."""
    return cut_answer(preview_cut(wb, load_study(wb, find_run(wb, asked.run).run.study), asked), asked, None)


def cut(wb: Workbench, asked: CutAsked, *, now: datetime) -> Answer:
    """Cut as asked, and what that changed. Raises as `cut_as_asked`."""
    with wb.writing():
        seen = preview_cut(wb, load_study(wb, find_run(wb, asked.run).run.study), asked)
        done = cut_as_asked(wb, asked, now=now)
    return cut_answer(seen, asked, done.change)


def uncut(wb: Workbench, number: int, *, now: datetime) -> Answer:
    """Put back what a cut replaced: the number of that change, and how many runs it touches."""
    done = undo_cut(wb, number, now=now)
    return {"change": done.change, "runs": done.runs}


def standing_answer(wb: Workbench, name: str) -> Answer:
    """The window that a run is measured in, whose that is, and what a cut of it rests on."""
    run = find_run(wb, name).run
    test = shelves.one(wb, Test, run.test)
    return {
        "run": run.id,
        "test": run.test,
        "window": window_answer(window_of(test, run)),
        "alone": run.window is not None,
        "seen": sight_of_window(wb, run),
    }


def window_answer(window: Window | None) -> Answer | None:
    """A window as JSON; None for the whole log."""
    if window is None or window.whole:
        return None
    return {"start_s": window.start_s, "end_s": window.end_s, "reason": window.reason, "by": window.by}


def cut_answer(seen: CutPreview, asked: CutAsked, change: int | None) -> Answer:
    """What a cut changes: every run it touches and every finding of its test, before and after."""
    return {
        "run": asked.run,
        "test": seen.test.key,
        "window": window_answer(asked.window),
        "alone": not asked.every,
        "change": change,
        "runs": [moved(seen.before.run(run), seen.after.run(run), seen.test) for run in seen.touched],
        "findings": [] if seen.unfit else [moved_finding(*both) for both in seen.findings()],
        "unfit": dict(seen.unfit),
    }


def moved(before: RunOnRecord, after: RunOnRecord, test: Test) -> Answer:
    """One run's numbers and where it stands, before and after."""
    keys = tuple(dict.fromkeys((test.metric, *test.also, *NUMBERS)))
    return {
        "id": before.run.id,
        "label": before.run.label,
        "before": {"state": before.state.value, **numbers(before.metrics.values, keys)},
        "after": {"state": after.state.value, **numbers(after.metrics.values, keys)},
    }


def numbers(values: Mapping[str, float], keys: tuple[str, ...]) -> Answer:
    """Those of the numbers that a run carries."""
    return {key: values[key] for key in keys if math.isfinite(values.get(key, math.nan))}


def moved_finding(before: Finding, after: Finding) -> Answer:
    """One finding before and after."""
    sides = ("outcome", "ratio", "low", "high")
    return {
        "a": before.a,
        "b": before.b,
        "metric": before.metric,
        "before": {side: getattr(before, side) for side in sides},
        "after": {side: getattr(after, side) for side in sides},
    }
