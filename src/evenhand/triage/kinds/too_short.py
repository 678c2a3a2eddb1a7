"""Runs of so few seconds or frames that no number of theirs can be judged."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.records.faults import Fault, Severity
from evenhand.records.tests import Measures
from evenhand.triage.features import Features
from evenhand.triage.limits.mechanical import LengthLimits
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, count, lasting, listing

KIND = "too-short"


def too_short(view: CellView) -> Iterator[tuple[str, Fault]]:
    """Judge each run by itself, however many siblings it has; by seconds only where they are not a result.

    A run whose unit is wrong, or whose rows are no frames, has no length to judge.
    """
    if view.company.test.measures is not Measures.FRAMES:
        return
    limits, free = view.limits.length, view.company.test.free_length
    for run in view.runs:
        if run.run.trace is None or view.has(run.id, "wrong-units", "not-frames"):
            continue
        brief = not free and not run.duration_s >= limits.least_s
        if brief or run.frames < limits.least_frames:
            yield run.id, _fault(run, limits, brief=brief)


def _fault(run: Features, limits: LengthLimits, *, brief: bool) -> Fault:
    needed = [amount(limits.least_s, 0, "s")] if brief else []
    needed += [count(limits.least_frames, "frame")] if run.frames < limits.least_frames else []
    hopeless = run.frames < limits.fewest_frames
    length = f"lasts {lasting(run.duration_s)} and " if run.frames else ""
    why = (
        "there is neither a rate nor a spread in so few"
        if hopeless
        else "less shows a moment of the scene, and hardly a rare frame"
    )
    return Fault(
        kind=KIND,
        title="Too short to judge",
        severity=Severity.BLOCKS if hopeless else Severity.IN_DOUBT,
        evidence=(
            f"This run {length}holds {count(run.frames, 'usable frame')}; "
            f"at least {listing(needed)} are asked for: {why}."
        ),
        todo="See whether the take or its log was stopped early, and record the whole scene.",
        numbers={"length_s": run.duration_s if run.frames else 0.0, "frames": float(run.frames)},
    )
