"""What a rig asks: to be known, and what to run next."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request
from pydantic import BaseModel, Field

from evenhand.desk.bench.admitting import known_by
from evenhand.desk.bench.rigs import next_for
from evenhand.desk.parts.told_by_rigs import take_in
from evenhand.desk.tuning.under_way import busy_said
from evenhand.records.devices import Device
from evenhand.web.admission import NoWayIn, token_of
from evenhand.web.rigs import Cost, Rigs
from evenhand.web.site import By, Here

router = APIRouter(prefix="/api/rig", tags=["Rigs"])

MOST_PARTS = 64
FactTold = (
    Annotated[bool, Field(strict=True)]
    | Annotated[int, Field(strict=True, ge=0, le=10**9)]
    | Annotated[float, Field(strict=True, ge=0, le=1e9, allow_inf_nan=False)]
    | Annotated[str, Field(max_length=200)]
    | Annotated[list[Annotated[str, Field(max_length=40)]], Field(max_length=16)]
)
MOST = 200  # sensors, stamps and reasons that a rig may tell of itself


class SensorTold(BaseModel):
    """A quantity that a rig can read, and where."""

    header: Annotated[str, Field(max_length=200)]
    source: Annotated[str, Field(max_length=400)]


class UnreadableTold(BaseModel):
    """A quantity that a rig cannot read, and why."""

    what: Annotated[str, Field(max_length=200)]
    why: Annotated[str, Field(max_length=400)]


class PartTold(BaseModel):
    """A part of the rig's machine, as its system tells of it."""

    kind: Annotated[str, Field(min_length=1, max_length=40)]
    name: Annotated[str, Field(min_length=1, max_length=200)]
    source: Annotated[str, Field(max_length=400)] = ""
    facts: Annotated[dict[str, FactTold], Field(max_length=12)] = Field(default_factory=dict)


class Introduction(BaseModel):
    """What a rig says of itself."""

    version: Annotated[str, Field(max_length=40)] = ""
    stamps: Annotated[dict[str, str], Field(max_length=MOST)] = Field(default_factory=dict)
    boot: Annotated[str, Field(max_length=200)] | None = None
    boots: Annotated[int, Field(ge=0, strict=True)] = 0
    sensors: Annotated[list[SensorTold], Field(max_length=MOST)] = Field(default_factory=list)
    unreadable: Annotated[list[UnreadableTold], Field(max_length=MOST)] = Field(default_factory=list)
    parts: Annotated[list[PartTold], Field(max_length=MOST_PARTS)] = Field(default_factory=list)
    untold: Annotated[list[UnreadableTold], Field(max_length=MOST_PARTS)] = Field(default_factory=list)


class Welcome(BaseModel):
    """What a rig is called, which build it is, and the workbench's time."""

    name: str
    build: str | None
    time: datetime


class Next(BaseModel):
    """The run to be made next, or none with the reason; `left` counts what is planned for this rig."""

    run: dict[str, Any] | None
    words: str
    left: int
    time: datetime


class Presence(BaseModel):
    """A rig says that it is there, what taking part costs it, and which run it makes."""

    share_pct: Annotated[float, Field(ge=0, le=100_000, allow_inf_nan=False)] | None = Field(
        default=None, description="Percent of one core that the rig program itself has used."
    )
    memory_mib: Annotated[float, Field(ge=0, le=1e9, allow_inf_nan=False)] | None = None
    plan: Annotated[int, Field(ge=0, lt=2**63)] | None = None
    slot: Annotated[int, Field(ge=0, lt=2**63)] | None = None
    ended: Annotated[bool, Field(description="It takes part no longer; its run is given to others.")] = False


class Heard(BaseModel):
    """The workbench's time, for a rig whose clock may be wrong."""

    time: datetime


def device_of(request: Request, site: Here) -> Device | None:
    """The device that asks; None on this computer without a token. Raises NoWayIn for a token of nobody."""
    token = token_of(request.headers)
    device = known_by(site.wb, token) if token else None
    if device is None and token and "authorization" in request.headers:
        raise NoWayIn("this token opens nothing here", todo="make a new link on the page Devices")
    return device


Asking = Annotated[Device | None, Depends(device_of)]


def rigs_of(request: Request) -> Rigs:
    """The rigs that take part."""
    found: Rigs = request.app.state.rigs
    return found


Present = Annotated[Rigs, Depends(rigs_of)]


@router.post("/hello")
def hello(said: Introduction, site: Here, by: By, device: Asking, rigs: Present) -> Welcome:
    """A rig says what it is."""
    now, who = site.now(), device.id if device else by
    build = device.build if device else None
    made_of = said.model_dump(include={"parts", "untold"})
    take_in(site.wb, who, by, build, now=now, **made_of)
    rigs.hello(who, by, said.model_dump(exclude={"parts", "untold"}), now=now)
    return Welcome(name=by, build=build, time=now)


@router.get("/next")
def next_run(request: Request, site: Here, by: By, device: Asking, rigs: Present) -> Next:
    """The run that the plan wants from this rig next; asking takes its slot. None while a trial runs."""
    now, who = site.now(), device.id if device else by
    build = device.build if device else None
    busy = busy_said(site.wb, build, request.app.state.heard, now=now, clock=site.clock) if build else ""
    if busy:
        return Next(run=None, words=busy, left=0, time=now)
    found = next_for(site.wb, build, taken=rigs.taken_by_others(who, now=now))
    slot = (found.facts["plan"], found.facts["slot"]) if found.facts else None
    rigs.take(who, by, slot, now=now)
    return Next(run=found.facts, words=found.words, left=found.left, time=now)


@router.post("/here")
def here(said: Presence, site: Here, by: By, device: Asking, rigs: Present) -> Heard:
    """A rig is there, and makes this run or none."""
    now = site.now()
    slot = (said.plan, said.slot) if said.plan is not None and said.slot is not None else None
    cost = Cost(share_pct=said.share_pct, memory_mib=said.memory_mib)
    who = device.id if device else by
    if said.ended:
        rigs.leave(who, by, now=now)
    else:
        rigs.here(who, by, slot, cost=cost, now=now)
    return Heard(time=now)
