"""Studies, runs and decisions for programs, as docs/formats-json.md says, by the functions that pages use."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query
from pydantic import BaseModel, ConfigDict, Field

from evenhand.desk.answers import decided_answer, history_answer, masked_answer, run_answer
from evenhand.desk.bench.hiding import refuse_hidden, refuse_hidden_run
from evenhand.desk.bench.masking import masked_runs, show_masked
from evenhand.desk.listing import away_answer, list_studies, study_line_answer, waiting
from evenhand.desk.on_record import load_study
from evenhand.desk.runs.asking import KEEP, REOPEN, REPLACE, SET_ASIDE, Asked, decide_as_asked, sight
from evenhand.desk.runs.deciding import find_run, run_history
from evenhand.desk.runs.run_notes import in_full
from evenhand.desk.runs.run_trace import COLUMNS, FEWEST, MOST, Window, trace_answer
from evenhand.records.runs import Reason
from evenhand.web.hidden import HIDDEN, run_in_sight
from evenhand.web.site import Here

router = APIRouter(prefix="/api", tags=["Runs"])

MOST_NOTE = 2000
REFUSED: dict[int | str, dict[str, Any]] = {
    404: {"description": "Nothing on record answers to this name."},
    409: {"description": "The run stands otherwise than `seen` says; nothing was stored."},
    422: {"description": "What was sent cannot be used; the answer says what to do."},
}
UNKNOWN: dict[int | str, dict[str, Any]] = {404: REFUSED[404], **HIDDEN}


class Deciding(BaseModel):
    """What every decision may carry."""

    model_config = ConfigDict(extra="forbid")

    note: str = Field(default="", max_length=MOST_NOTE, description="Why, in your own words.")
    seen: str = Field(
        default="",
        max_length=64,
        description="The sight of the run (`GET /api/runs/{run}`) on which this rests; where it is another "
        "by now, the decision is refused. Empty to decide whatever stands.",
    )
    masked: bool = Field(default=False, description="Names are hidden: runs go by their masked ids.")


class SettingAside(Deciding):
    """Why a run is left out."""

    reason: Reason = Field(description="One of the reasons fixed in advance; `other` needs a note.")
    leave_slot_out: bool = Field(
        default=False,
        description="Leave its slot of the plan out too: it is not made again. Otherwise it comes up again.",
    )


class Replacing(Deciding):
    """Which run was made in its place."""

    by: str = Field(min_length=1, max_length=200, description="A counting run of the same test and setup.")


Masked = Annotated[
    bool, Query(description="Hide names: letters stand for setups, and runs go by masked ids.")
]


@router.get("/studies")
def studies(site: Here) -> dict[str, Any]:
    """Every study, in the shape of `evenhand studies --json`."""
    return {"studies": [study_line_answer(line) for line in list_studies(site.wb)]}


@router.get("/studies/{study}/runs", responses=UNKNOWN)
def runs(site: Here, study: str, *, in_doubt: bool = False, masked: Masked = False) -> dict[str, Any]:
    """The runs of a study, in the shape of `evenhand runs --json`; with `in_doubt` those that wait alone."""
    record = load_study(site.wb, study)
    shown = waiting(record) if in_doubt else record.runs
    if masked:
        told = [masked_answer(each) for each in masked_runs(record, shown)]
        return {"study": study, "away": away_answer(record.away), "runs": told}
    refuse_hidden(record)
    told, notes = [run_answer(each) for each in shown], in_full(site.wb, record, shown)
    return {"study": study, "away": away_answer(record.away), "runs": told, "notes": notes}


@router.get("/runs/{run}", responses=UNKNOWN)
def run(site: Here, run: str, *, masked: Masked = False) -> dict[str, Any]:
    """One run with its past, in the shape of `evenhand run --json`, and its `sight` for deciding about it."""
    if masked:
        return masked_answer(show_masked(site.wb, run))
    refuse_hidden_run(site.wb, run)
    history = run_history(site.wb, run)
    return {**history_answer(history), "study": history.run.run.study, "sight": sight(history.run)}


@router.get(
    "/runs/{run}/trace", responses={**UNKNOWN, 422: REFUSED[422]}, dependencies=[Depends(run_in_sight)]
)
def trace(
    site: Here,
    run: str,
    *,
    from_s: Annotated[float, Query(ge=0, description="From here on, seconds from the run's start.")] = 0.0,
    to_s: Annotated[
        float | None, Query(gt=0, description="Up to here; the whole run where not given.")
    ] = None,
    columns: Annotated[int, Query(ge=FEWEST, le=MOST, description="Into how many columns.")] = COLUMNS,
) -> dict[str, Any]:
    """The frames of a run over time: of each column the shortest and the longest, its siblings' as well.

    Times are seconds and frames milliseconds; `null` stands where a column holds no frame.
    """
    each = find_run(site.wb, run)
    record = load_study(site.wb, each.run.study)
    return trace_answer(site.wb, record, each, Window(from_s=from_s, to_s=to_s, columns=columns))


@router.post("/runs/{run}/keep", responses=REFUSED)
def keep(site: Here, run: str, sent: Deciding) -> dict[str, Any]:
    """Let a run count though a fault is on show; over a blocking fault this needs a note."""
    return decided(site, run, Asked(verb=KEEP, note=sent.note, seen=sent.seen, masked=sent.masked))


@router.post("/runs/{run}/set-aside", responses=REFUSED)
def set_aside(site: Here, run: str, sent: SettingAside) -> dict[str, Any]:
    """Leave a run out; it stays on record, and its slot comes up again unless that is left out too."""
    asked = Asked(
        verb=SET_ASIDE,
        reason=sent.reason.value,
        note=sent.note,
        seen=sent.seen,
        masked=sent.masked,
        leave_slot_out=sent.leave_slot_out,
    )
    return decided(site, run, asked)


@router.post("/runs/{run}/replace", responses=REFUSED)
def replace(site: Here, run: str, sent: Replacing) -> dict[str, Any]:
    """Leave a run out because another one was made in its place."""
    asked = Asked(verb=REPLACE, by=sent.by, note=sent.note, seen=sent.seen, masked=sent.masked)
    return decided(site, run, asked)


@router.post("/runs/{run}/reopen", responses=REFUSED)
def reopen(site: Here, run: str, sent: Deciding) -> dict[str, Any]:
    """Take the decision about a run back: it stands again where its faults put it."""
    return decided(site, run, Asked(verb=REOPEN, note=sent.note, seen=sent.seen, masked=sent.masked))


def decided(site: Here, run: str, asked: Asked) -> dict[str, Any]:
    """What came of a decision, in the shape of `evenhand keep --json`."""
    if not asked.masked:
        refuse_hidden_run(site.wb, run)
    return decided_answer(decide_as_asked(site.wb, run, asked, now=site.now()))
