"""Measured windows for programs: what stands, what a cut would change, cutting, and taking that back."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query
from pydantic import BaseModel, ConfigDict, Field

from evenhand.desk.runs.cut_answers import cut, look, standing_answer, uncut
from evenhand.desk.runs.cutting import CutAsked
from evenhand.desk.runs.deciding import find_run
from evenhand.records.windows import Window
from evenhand.web.api.runs import REFUSED, UNKNOWN
from evenhand.web.hidden import HIDDEN, run_in_sight
from evenhand.web.site import By, Here

router = APIRouter(
    prefix="/api/runs/{run}/window", tags=["Runs"], dependencies=[Depends(run_in_sight)], responses=HIDDEN
)

MOST_S = 1e6  # eleven days: no log of a run is longer
MOST_REASON = 400
Start = Annotated[
    float, Query(ge=0, le=MOST_S, description="From here on, seconds from a log's first frame.")
]
End = Annotated[float | None, Query(gt=0, le=MOST_S, description="Up to here; not given, to the end.")]
Alone = Annotated[bool, Query(description="Of this run alone, not of every run of its test.")]


class Cutting(BaseModel):
    """Which part is measured from now on, and of which runs."""

    model_config = ConfigDict(extra="forbid")

    start_s: float = Field(
        default=0.0, ge=0, le=MOST_S, description="From here on, seconds from a log's first frame."
    )
    end_s: float | None = Field(
        default=None, gt=0, le=MOST_S, description="Up to here; null for the end of each log."
    )
    alone: bool = Field(default=False, description="Cut this run otherwise than its siblings.")
    whole: bool = Field(
        default=False,
        description="Take the window away: all of each log is measured, or with `alone` what its test says.",
    )
    reason: str = Field(
        default="", max_length=MOST_REASON, description="Why, in your own words; needed with `alone`."
    )
    seen: str = Field(
        default="",
        max_length=64,
        description="`seen` of the window on which this rests (`GET /api/runs/{run}/window`); where it is "
        "another by now, nothing is cut. Empty to cut whatever stands.",
    )


class Uncutting(BaseModel):
    """Which cut is taken back."""

    model_config = ConfigDict(extra="forbid")

    change: int = Field(ge=1, lt=2**53, description="`change` of the answer to the cut.")


@router.get("", responses=UNKNOWN)
def standing(site: Here, run: str) -> dict[str, Any]:
    """The window that a run is measured in: its own or its test's, null for the whole log."""
    return standing_answer(site.wb, run)


@router.get("/preview", responses={404: REFUSED[404], 422: REFUSED[422]})
def preview(
    site: Here, run: str, *, start_s: Start = 0.0, end_s: End = None, alone: Alone = False
) -> dict[str, Any]:
    """What a cut would change: each run it touches and each finding of the test; nothing is stored."""
    window = Window(start_s=start_s, end_s=end_s)
    return look(site.wb, CutAsked(run=find_run(site.wb, run).run.id, window=window, every=not alone))


@router.post("", responses=REFUSED)
def cut_so(site: Here, by: By, run: str, sent: Cutting) -> dict[str, Any]:
    """Cut every run of the test, or this one alone for a reason; numbers, faults and findings follow."""
    window = None
    if not sent.whole:
        window = Window(start_s=sent.start_s, end_s=sent.end_s, reason=sent.reason, by=by)
    asked = CutAsked(run=find_run(site.wb, run).run.id, window=window, every=not sent.alone, seen=sent.seen)
    return cut(site.wb, asked, now=site.now())


@router.post("/undo", responses=REFUSED)
def undo(site: Here, run: str, sent: Uncutting) -> dict[str, Any]:
    """Put back the window that a cut replaced; both stay in history."""
    find_run(site.wb, run)
    return uncut(site.wb, sent.change, now=site.now())
