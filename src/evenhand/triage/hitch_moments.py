"""When a run hitched, and which of its hitches belong to the scene."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.metrics.hitches import hitch_frames
from evenhand.triage.features import Features
from evenhand.triage.limits.levels import HitchLimits
from evenhand.triage.pairs import pair
from evenhand.triage.view import CellView

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

# Shifts at which two takes can meet by chance alone; apart by more than one place, and of no common measure.
_CHANCE_SHIFTS_S = (2.3, -3.1, 4.7, -5.9)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Hitches:
    """The hitches of one run.

    `at_s`, `lasts_s`: shape (k,), when each began and how long its frames lasted; a pause over several
    frames is one. `watched_s` is how much of the run was looked at.
    """

    at_s: Floats
    lasts_s: Floats
    watched_s: float

    @property
    def count(self) -> int:
        """How many there are."""
        return self.at_s.size


def hitches_of(run: Features, view: CellView) -> Hitches:
    """The hitches of a run after its first moments; worked out once."""
    return view.prepared.derived(run, "hitches", 0, lambda: find_hitches(run, view.limits.hitches))


def find_hitches(run: Features, limits: HitchLimits) -> Hitches:
    """The stretches of hitch frames (`metrics.hitches`), those close together as one."""
    if not run.frames:
        return Hitches(at_s=np.empty(0), lasts_s=np.empty(0), watched_s=0.0)
    at = np.flatnonzero(hitch_frames(run.frame_times_ms))
    begins, lasts = run.begins_s[at], run.frame_times_ms[at] / 1000
    late = begins >= limits.skip_s
    begins, lasts = begins[late], lasts[late]
    apart = np.diff(begins, prepend=-np.inf) - np.concatenate(([0.0], lasts[:-1])) > limits.one_pause_s
    starts = np.flatnonzero(apart[: begins.size])
    return Hitches(
        at_s=begins[starts],
        lasts_s=np.add.reduceat(lasts, starts) if starts.size else lasts,
        watched_s=max(run.duration_s - limits.skip_s, 0.0),
    )


def extra_moments(run: Features, siblings: Sequence[Features], view: CellView) -> Flags:
    """Which hitches of a run most of its siblings do not have at the same place of the scene. Shape (k,)."""
    own = hitches_of(run, view)
    met = _met(own.at_s, _theirs(run, siblings, view), view.limits.hitches.same_place_s)
    return np.asarray(met.sum(axis=0) <= len(siblings) / 2)


def shared_places(run: Features, siblings: Sequence[Features], view: CellView) -> float:
    """How many hitches of a run all its takes have at the same place, beyond what chance would meet.

    Chance q is measured with the hitches shifted by a few seconds; of k hitches, met = L + (k − L)·q gives L.
    """
    own, limits = hitches_of(run, view).at_s, view.limits.hitches
    theirs = _theirs(run, siblings, view)
    if not own.size or not theirs or any(not at.size for at in theirs):
        return 0.0
    met = float(_met(own, theirs, limits.same_place_s).all(axis=0).sum())
    moved = [_met(own + shift, theirs, limits.same_place_s).all(axis=0).mean() for shift in _CHANCE_SHIFTS_S]
    chance = float(np.mean(moved))
    surplus, error = met - own.size * chance, np.sqrt(max(own.size * chance * (1 - chance), 0.5))
    return surplus / (1 - chance) if surplus > limits.shared_sds * error and chance < 1 else 0.0


def _theirs(run: Features, siblings: Sequence[Features], view: CellView) -> list[Floats]:
    """The hitches of each sibling in time of `run`."""
    moments = []
    for sibling in siblings:
        at_s, found = hitches_of(sibling, view).at_s, pair(run, sibling, view)
        later_s = (
            np.interp(at_s, found.other_at_s, found.at_s - found.other_at_s) if found is not None else 0.0
        )
        moments.append(at_s + later_s)
    return moments


def _met(own: Floats, theirs: Sequence[Floats], within_s: float) -> Flags:
    """Which of these moments lie near one of each sibling's; shape (siblings, k)."""
    return np.array([_near(own, at, within_s) for at in theirs]).reshape(len(theirs), own.size)


def _near(own: Floats, others: Floats, within_s: float) -> Flags:
    if not others.size:
        return np.zeros(own.size, np.bool_)
    after = np.searchsorted(others, own).clip(1, max(others.size - 1, 1))
    nearest = np.minimum(
        np.abs(own - others[(after - 1).clip(max=others.size - 1)]),
        np.abs(own - others[after.clip(max=others.size - 1)]),
    )
    return np.asarray(nearest <= within_s)
