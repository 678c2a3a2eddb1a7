"""Frames that wait for the screen: their times are whole multiples of its period."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from evenhand.records.faults import Fault, Place, Severity
from evenhand.triage.curves import Floats
from evenhand.triage.features import Features
from evenhand.triage.held import longest, spans
from evenhand.triage.limits.rates import ScreenLimits, nearest_rate
from evenhand.triage.screens import Grid, same_beat, screen_grid
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, listing, share

KIND = "screen-steps"
MOST_MARKED = 0.9  # of the run: marks over more of it leave nothing to ask
_WORDS = ("one period", "two", "three", "four", "five", "six", "seven", "eight")


def screen_steps(view: CellView) -> Iterator[tuple[str, Fault]]:
    """Find runs whose frames wait for the screen; each shows it by itself, so all of a cell may.

    Where the test declares the screen's rate, or a whole part of it, it is only noted.
    """
    judged = [run for run in view.runs if not view.has(run.id, "wrong-units", "not-frames")]
    found = {run.id: grid for run in judged if (grid := grid_of(run, view)) is not None}
    for run in judged:
        beside = (same_beat(run, grid, view.limits.screen) for grid in tuple(found.values()))
        if run.id not in found and (grid := next(filter(None, beside), None)) is not None:
            found[run.id] = grid
    for run in view.runs:
        if run.id in found:
            yield run.id, _fault(run, found, view)


def grid_of(run: Features, view: CellView) -> Grid | None:
    """The screen's grid that a run lies on, or None; worked out once."""
    return view.prepared.derived(run, "screen grid", 0, lambda: screen_grid(run, view.limits.screen))


def _fault(run: Features, found: dict[str, Grid], view: CellView) -> Fault:
    limits, grid = view.limits.screen, found[run.id]
    declared = _declared(grid, view)
    usual = nearest_rate(grid.rate_fps, limits.listed_within)
    near = f", a usual refresh rate ({usual:g})" if usual else ""
    others = sum(other != run.id for other in found)
    places = _places(run, grid, view.limits.cap.bridged_blocks)
    beside = f" So do {others} of the other {len(view.runs) - 1} runs." if others else ""
    return Fault(
        kind=KIND,
        title="Frames wait for the screen",
        severity=Severity.NOTE if declared else Severity.IN_DOUBT,
        evidence=(
            f"Frame times go by whole periods of {amount(grid.period_ms, 2, 'ms')}, the beat of a screen at "
            f"{amount(grid.rate_fps, 2, 'Hz')}{near}: {_told(grid, view.limits.screen)}; "
            f"{share(grid.between)} lie between.{_marked(places, run)}{beside}"
        ),
        todo=(
            "Nothing: the test declares this rate. It says nothing of speed beyond it."
            if declared
            else "Switch screen sync off (driver and the title's own settings) and record the run again: "
            "each frame was held back to the screen's next beat. Or declare the rate if it is meant."
        ),
        numbers={
            "rate_fps": grid.rate_fps,
            "period_ms": grid.period_ms,
            "between_share": grid.between,
            "phase_sd_periods": grid.phase_sd,
            **{f"share_at_{k}": float(s) for k, s in enumerate(grid.shares, 1) if s > 0},
        },
        places=places,
        siblings=tuple(s.id for s in view.siblings(run.id)),
    )


def _marked(places: Sequence[Place], run: Features) -> str:
    """What the marks mean, where they leave a part of the run out: all of its frames keep the beat."""
    marked_s = sum(place.to_s - place.from_s for place in places)
    whole = not places or marked_s > MOST_MARKED * run.duration_s
    return "" if whole else " Marked is where they change from one to another."


def _told(grid: Grid, limits: ScreenLimits) -> str:
    """The three fullest multiples, in order of length."""
    fullest = sorted(i for i in np.argsort(grid.shares)[-3:].tolist() if grid.shares[i] >= limits.told_share)
    return listing(
        [
            f"{share(float(grid.shares[i]), 0)} of frames take {_WORDS[i]}"
            if i == fullest[0]
            else f"{share(float(grid.shares[i]), 0)} {_WORDS[i]}"
            for i in fullest
        ]
    )


def _declared(grid: Grid, view: CellView) -> bool:
    """Whether the test declares the screen's rate or a whole part of it, and frames mostly keep that."""
    locked = view.company.test.locked_fps
    within = view.limits.cap.locked_within
    return locked is not None and abs(math.log(grid.rate_fps / grid.main / locked)) <= within


def _places(run: Features, grid: Grid, bridged: int) -> tuple[Place, ...]:
    """The longest stretches in which frames go back and forth between multiples, in order of time."""
    counts = np.rint(run.frame_times_ms / grid.period_ms)
    blocks = (run.begins_s / run.block_s).astype(np.int64)
    at = np.bincount(blocks, weights=counts != grid.main) > 0
    starts: Floats = run.block_s * np.arange(at.size, dtype=float)
    return longest(spans(at, starts, np.minimum(starts + run.block_s, run.duration_s), bridged))
