"""The smallest change of one thing that turns what is said of a pair."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from evenhand.verdicts.before import Before
from evenhand.verdicts.case import Case
from evenhand.verdicts.counted import Counted, lay_counted, singly
from evenhand.verdicts.moves import Flip, Steps
from evenhand.verdicts.others import Other
from evenhand.verdicts.steps_after import After, step_flips
from evenhand.verdicts.ways import Axes


def flips(case: Case, others: Sequence[Other] = (), *, steps: Steps | None = None) -> tuple[Flip, ...]:
    """For every pair and aspect, the smallest change of every single thing that turns it; smallest first.

    Every weight and margin is tried at every step of `steps`, every price at every step where it may turn
    anything, and the nearest that turns the aspect is kept, so that nothing is assumed of how a verdict
    depends on it. Titles, runs and definitions are tried one by one. An aspect that says nothing (value
    without prices) is not looked at.
    """
    before, tried_by = Before.of(case), steps or Steps()
    if not before.pairs:
        return ()
    found = step_flips(unchanged(before), tried_by, weight=tried_by.weight)
    counted = lay_counted(case, before.pairs, singly(case, others))
    alone = After.of(before, counted).turned() if counted else ()
    return tuple(sorted((flip for _, flip in (*found, *alone)), key=lambda flip: flip.size))


def unchanged(before: Before) -> After:
    """The case with everything counting as it does."""
    gone = np.zeros((1, len(Axes.of(before.case).tests)), bool)
    nothing = Counted(pairs=before.case.pairs, moves=((),), gone=gone)
    return After.of(before, lay_counted(before.case, before.pairs, [nothing]))
