"""What a picture of a run's level needs: headlines with the run marked, and where it was expected."""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.stats.leave_out import leave_one_out
from evenhand.stats.special_functions import special
from evenhand.triage.kinds.level import company_of
from evenhand.triage.standing import standing
from evenhand.triage.view import CellView


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LevelPicture:
    """Headlines of a run and its siblings in the order of the cell, in the test's unit.

    `values`: shape (n,), named by `runs` and `labels`; `marked` is the run's place among them. `mean` is the
    siblings' geometric mean; `low`, `high` hold 95 % of the runs that are like them, NaN where their spread
    is not known.
    """

    runs: tuple[str, ...]
    labels: tuple[str, ...]
    values: npt.NDArray[np.float64]
    marked: int
    mean: float
    low: float
    high: float


def level_picture(
    view: CellView, run: str, *, level: float = 0.95, among: Collection[str] = ()
) -> LevelPicture | None:
    """The picture of one run's level; None where the run has no siblings with a level.

    `among` are those it was judged against, all others where empty: a run that is odd as well is none.
    """
    company = company_of(view.held[run], view)
    places = (
        []
        if company is None
        else [i for i, r in enumerate(company.runs) if not among or r.id in among or r.id == run]
    )
    ids = () if company is None else tuple(company.runs[i].id for i in places)
    if company is None or run not in ids or len(ids) < 2:
        return None
    at, logs = ids.index(run), company.logs[places]
    told = standing(leave_one_out(logs), company.outside, view.limits.level)
    centre = float(logs[at] - told.gaps[at])
    half = math.nan
    if told.dfs[at] > 0:
        error = float(told.spread[at]) * math.sqrt(1 + 1 / (len(ids) - 1))
        half = error * float(special.stdtrit(told.dfs[at], 0.5 + level / 2))
    return LevelPicture(
        runs=ids,
        labels=tuple(company.runs[i].run.label for i in places),
        values=np.exp(logs),
        marked=at,
        mean=math.exp(centre),
        low=math.exp(centre - half),
        high=math.exp(centre + half),
    )
