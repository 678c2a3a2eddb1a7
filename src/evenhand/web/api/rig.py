"""What a rig asks: to be known, and what to run next."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request
from pydantic import BaseModel, Field

from evenhand.desk.admitting import known_by
from evenhand.desk.rigs import next_for
from evenhand.records.devices import Device
from evenhand.web.admission import token_of
from evenhand.web.rigs import Rigs
from evenhand.web.site import By, Here

router = APIRouter(prefix="/api/rig", tags=["rigs"])

MOST = 200  # sensors, stamps and reasons that a rig may tell of itself


class SensorTold(BaseModel):
    """A quantity that a rig can read, and where."""

    header: Annotated[str, Field(max_length=200)]
    source: Annotated[str, Field(max_length=400)]


class UnreadableTold(BaseModel):
    """A quantity that a rig cannot read, and why."""

    what: Annotated[str, Field(max_length=200)]
    why: Annotated[str, Field(max_length=400)]


class Introduction(BaseModel):
    """What a rig says of itself."""

    version: Annotated[str, Field(max_length=40)] = ""
    stamps: Annotated[dict[str, str], Field(max_length=MOST)] = Field(default_factory=dict)
    boot: Annotated[str, Field(max_length=200)] | None = None
    boots: Annotated[int, Field(ge=0, strict=True)] = 0
    sensors: Annotated[list[SensorTold], Field(max_length=MOST)] = Field(default_factory=list)
    unreadable: Annotated[list[UnreadableTold], Field(max_length=MOST)] = Field(default_factory=list)


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


def device_of(request: Request, site: Here) -> Device | None:
    """The device that asks; None on this computer without a token."""
    token = token_of(request.headers)
    return known_by(site.wb, token) if token else None


Asking = Annotated[Device | None, Depends(device_of)]


def rigs_of(request: Request) -> Rigs:
    """The rigs that take part."""
    found: Rigs = request.app.state.rigs
    return found


Present = Annotated[Rigs, Depends(rigs_of)]


@router.post("/hello")
def hello(said: Introduction, site: Here, by: By, device: Asking, rigs: Present) -> Welcome:
    """A rig says what it is."""
    now = site.now()
    rigs.hello(device.id if device else by, by, said.model_dump(), now=now)
    return Welcome(name=by, build=device.build if device else None, time=now)


@router.get("/next")
def next_run(site: Here, by: By, device: Asking, rigs: Present) -> Next:
    """The run that the plan wants from this rig next; asking takes its slot."""
    now, who = site.now(), device.id if device else by
    build = device.build if device else None
    found = next_for(site.wb, build, taken=rigs.taken_by_others(who, now=now))
    slot = (found.facts["plan"], found.facts["slot"]) if found.facts else None
    rigs.take(who, by, slot, now=now)
    return Next(run=found.facts, words=found.words, left=found.left)
