"""Trials of tuned parts for rigs: what comes next, how one stands, and how it ended."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any

from fastapi import APIRouter, Body, Path, Query, Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel, ConfigDict, Field

from evenhand.desk.bench import spool
from evenhand.desk.study.shapes import schema_of, table
from evenhand.desk.tuning.coming import next_trial
from evenhand.desk.tuning.heat_noting import keep_log, note_heat_of_trial
from evenhand.desk.tuning.noting import note_trial, refuse_other_machine, setup_tried
from evenhand.desk.tuning.under_way import hear
from evenhand.web.api.rig import Asking
from evenhand.web.api.uploads import out_of_step
from evenhand.web.site import By, Here

router = APIRouter(prefix="/api/rig/trials", tags=["Rigs"])

TrialKey = Annotated[str, Path(min_length=1, max_length=200, description="The trial's own key.")]
Named = Annotated[str, Query(min_length=1, max_length=200)]
Given = Annotated[Any, Body()]  # looked at by the desk, in its own words
UNKNOWN: dict[int | str, dict[str, Any]] = {404: {"description": "There is no such setup or tuned part."}}
REFUSED: dict[int | str, dict[str, Any]] = {
    **UNKNOWN,
    422: {"description": "A field cannot be used, or lies past a limit; `where` names it."},
}
OUT_OF_STEP = {"description": "Not all bytes of the file are here yet; `have` says how many are."}


class Shape(BaseModel):
    """What all answers share."""

    model_config = ConfigDict(extra="forbid")


class Limit(Shape):
    """The most that a maker allows, as it is held against what is set, and where that is written."""

    id: int
    quantity: str
    most: float
    unit: str
    source: str
    read_on: str
    words: str


class NextTrial(Shape):
    """What to set, what to run and for how long; or only `why` nothing comes next."""

    clock_mhz: float | None = None
    voltage_mv: float | None = None
    hours: float | None = None
    purpose: str | None = None
    load: str | None = None
    settings: dict[str, str] | None = None
    words: str | None = None
    caution: str | None = None
    why: str | None = None
    limits: list[Limit]


class TrialKept(Shape):
    """A trial that is on record; `again` where it had been before."""

    id: int
    key: str
    again: bool


def _body() -> dict[str, Any]:
    schema = schema_of("trials")
    schema["properties"].pop("by")
    schema["properties"]["key"] = {"type": "string", "maxLength": 200, "description": "The trial's own."}
    return {"requestBody": {"required": True, "content": {"application/json": {"schema": schema}}}}


@router.post("", responses=REFUSED, openapi_extra=_body())
def keep_trial(site: Here, by: By, device: Asking, given: Given = None) -> TrialKept:
    """Puts a trial on record; the same key again is the trial that is there."""
    sent = {name: value for name, value in table(given, "").items() if name != "by"}
    refuse_other_machine(site.wb, str(sent.get("setup")), device.build if device else None)
    noted = note_trial(site.wb, sent, now=site.now(), by=by)
    return TrialKept(id=noted.trial.id, key=noted.trial.key, again=noted.again)


class Kept(BaseModel):
    """The temperatures that were kept with a trial: a file that was uploaded before, and what is in it."""

    digest: Annotated[str, Field(pattern="^[0-9a-f]{64}$", description="The SHA-256 of its bytes, in hex.")]
    name: Annotated[str, Field(min_length=1, max_length=200)]
    layout: Annotated[dict[str, Any], Field(description="What every column is.")]
    columns: Annotated[dict[str, str], Field(max_length=5, description="Which of them are the part's.")]


class HeatKept(Shape):
    """A temperature log that is on record; `again` where it had been before."""

    id: int
    again: bool


@router.post("/{key}/heat", responses={**REFUSED, 409: OUT_OF_STEP}, response_model=HeatKept)
def keep_heat(key: TrialKey, sent: Kept, site: Here, by: By, device: Asking) -> HeatKept | JSONResponse:
    """Puts the temperatures that were kept with a trial on record, as a log of its part."""
    refuse_other_machine(site.wb, setup_tried(site.wb, key), device.build if device else None)
    try:
        data = spool.whole(site.wb, sent.digest)
    except spool.OutOfStep as gap:
        return out_of_step(gap)
    log = keep_log(site.wb, data, name=sent.name)
    spool.forget(site.wb, sent.digest)
    given = {"layout": sent.layout, "columns": sent.columns}
    noted = note_heat_of_trial(site.wb, key, given, log, now=site.now(), by=by)
    return HeatKept(id=noted.heat.id, again=noted.again)


class Standing(BaseModel):
    """How a trial stands that a rig runs: what is tried, and the hours that it has held so far."""

    key: Annotated[str, Field(min_length=1, max_length=200)]
    setup: Annotated[str, Field(max_length=200)]
    part: Annotated[str, Field(max_length=200)]
    clock_mhz: float
    voltage_mv: float
    load: Annotated[str, Field(max_length=200)]
    hours: float
    planned_h: float | None = None
    settings: Annotated[dict[str, str], Field(max_length=40)] = Field(default_factory=dict)
    room_c: float | None = None
    errors: Annotated[int, Field(ge=0)] = 0
    hottest_c: float | None = None
    over: Annotated[bool, Field(description="It has ended; its record comes by POST /api/rig/trials.")] = (
        False
    )


class WhatToDo(Shape):
    """`stop` says who or what wants the trial ended, "" where nobody does; the workbench's time."""

    stop: str
    time: datetime


@router.post("/here", responses=REFUSED)
def trial_is_here(told: Standing, request: Request, site: Here, by: By, device: Asking) -> WhatToDo:
    """A rig says that a trial runs and how it stands, every few seconds; it is told whether to end it."""
    refuse_other_machine(site.wb, told.setup, device.build if device else None)
    now, rig = site.now(), device.id if device else by
    answer = hear(site.wb, told.model_dump(), rig=rig, by=by, heard=request.app.state.heard, now=now)
    return WhatToDo(stop=answer.stop, time=now)


@router.get("/next", responses=REFUSED, response_model_exclude_unset=True)
def next_to_try(
    site: Here, device: Asking, setup: Named, part: Named, load: Annotated[str, Query(max_length=200)] = ""
) -> NextTrial:
    """What to try next of a part, within the limits of its maker, under the load of its last trial."""
    refuse_other_machine(site.wb, setup, device.build if device else None)
    return NextTrial.model_validate(next_trial(site.wb, setup, part, load=load))
