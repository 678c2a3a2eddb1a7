"""All frames of runs of which only a window is judged: a recording is known again by all of it.

A copy that somebody trimmed is the same recording, wherever the measured window lies in it.
"""

from __future__ import annotations

from dataclasses import replace

from evenhand.triage.features import Features, features
from evenhand.triage.view import CellView


def wholes(view: CellView) -> CellView:
    """The same cell and peers with every frame of their logs; the view itself where nothing is cut."""
    if not any(run.run.whole for run in (*view.runs, *(r for peer in view.peers for r in peer))):
        return view
    return replace(
        view,
        runs=tuple(whole_of(run, view) for run in view.runs),
        peers=tuple(tuple(whole_of(run, view) for run in peer) for peer in view.peers),
    )


def whole_of(run: Features, view: CellView) -> Features:
    """A run with every frame of its log; the run itself where nothing is cut of it."""
    whole = run.run.whole
    if whole is None:
        return run
    uncut = replace(run.run, trace=whole, whole=None)
    return view.prepared.derived(run, "all its frames", 0, lambda: features(uncut, view.limits))
