"""The plan of a study and what may be said while it is followed, for programs."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Path
from pydantic import BaseModel, ConfigDict, Field

from evenhand.desk.bench.hiding import as_told, hide_names, names_hidden, show_names
from evenhand.desk.bench.live_finding import live_answer, live_header
from evenhand.desk.bench.outlooks import outlook_of
from evenhand.desk.bench.plan_answers import plan_answer
from evenhand.desk.bench.plan_needs import terms_from
from evenhand.desk.bench.plan_standing import PlanNow
from evenhand.desk.bench.planning import make_plan, note, plan_now, preview, replan, skip, unskip
from evenhand.desk.on_record import load_study
from evenhand.errors import NotFound
from evenhand.web.hidden import HIDDEN, study_in_sight
from evenhand.web.served import Site
from evenhand.web.site import By, Here

router = APIRouter(prefix="/api/studies/{study}", tags=["Plan"])

REFUSED: dict[int | str, dict[str, Any]] = {
    404: {"description": "There is no such study, plan or slot."},
    422: {"description": "What was sent cannot be used; the answer says what to do."},
}
CLOSED: dict[int | str, dict[str, Any]] = {
    **REFUSED,
    409: {"description": "The run of this slot has landed meanwhile or is not to be made: not skipped."},
}
UNKNOWN: dict[int | str, dict[str, Any]] = {404: REFUSED[404]}
BY = "program"
Number = Annotated[int, Path(ge=0, le=2**62)]


class Planning(BaseModel):
    """What a plan is made of."""

    model_config = ConfigDict(extra="forbid")

    looks: list[Annotated[int, Field(ge=1, le=60)]] = Field(
        default=[3, 5, 8],
        min_length=1,
        max_length=12,
        description="Runs of each at which results are looked at.",
    )
    at_once: int = Field(default=1, ge=1, le=8, description="Rigs that run at the same time.")
    warm_up: float = Field(default=2.0, ge=0, le=120, description="Minutes before each run.")
    reboot: float = Field(default=4.0, ge=0, le=120, description="Minutes that a restart takes.")
    day: float = Field(default=6.0, ge=0.5, le=24, description="Hours of a bench day.")
    seed: int = Field(default=1, ge=0, le=2**31, description="Draws the order.")
    only_shown: bool = Field(default=False, description="Answer with the plan and keep nothing.")


class PlanningAgain(BaseModel):
    """How the rest is planned anew."""

    model_config = ConfigDict(extra="forbid")

    without: list[Annotated[str, Field(max_length=200)]] = Field(
        default=[], max_length=50, description="Builds whose rigs dropped out."
    )
    seed: int = Field(default=1, ge=0, le=2**31)


class Noting(BaseModel):
    """What is written beside a slot: `ambient_c`, `wall_w`, `note`, or `skip` with the reason."""

    model_config = ConfigDict(extra="forbid")

    key: str = Field(max_length=20)
    value: str = Field(max_length=2000, description="Empty to take it back.")


class Masking(BaseModel):
    """Whether names of builds are hidden until the plan is done."""

    model_config = ConfigDict(extra="forbid")

    masked: bool = Field(description="False shows them early, which is told from then on.")


@router.get("/plan", responses=UNKNOWN)
def plan(site: Here, study: str) -> dict[str, Any]:
    """The standing plan, in the shape of `evenhand plan --json`."""
    return answered(site, study, standing(site, study))


@router.post("/plan", responses=REFUSED)
def make(site: Here, study: str, sent: Planning) -> dict[str, Any]:
    """Makes a plan, or only shows it."""
    numbers = {name: float(getattr(sent, name)) for name in ("at_once", "warm_up", "reboot", "day")}
    terms = terms_from(",".join(map(str, sent.looks)), numbers)
    if sent.only_shown:
        made = preview(load_study(site.wb, study), terms, seed=sent.seed, now=site.now())
        return answered(site, study, made)
    make_plan(site.wb, study, terms, seed=sent.seed, now=site.now())
    return answered(site, study, standing(site, study))


@router.post("/plan/again", responses=REFUSED)
def again(site: Here, study: str, sent: PlanningAgain) -> dict[str, Any]:
    """Lays the rest of the standing plan out anew; what is made or skipped stays."""
    replan(site.wb, study, seed=sent.seed, now=site.now(), without=sent.without)
    return answered(site, study, standing(site, study))


@router.post("/plan/slots/{number}/notes", responses=CLOSED)
def write(site: Here, study: str, number: Number, sent: Noting) -> dict[str, Any]:
    """Notes something beside a slot of the standing plan, or skips it; `doubt` says why it looks odd."""
    there, doubt = standing(site, study).plan, ""
    if sent.key == "skip" and sent.value.strip():
        skip(site.wb, there.id, number, sent.value, by=BY, now=site.now())
    elif sent.key == "skip":
        unskip(site.wb, there.id, number, by=BY, now=site.now())
    else:
        noted = note(site.wb, there.id, number, sent.key, sent.value, by=BY, now=site.now())
        doubt = noted.doubt
    return {"study": study, "slot": number, "key": sent.key, "doubt": doubt}


@router.post("/plan/mask", responses=REFUSED)
def mask(site: Here, by: By, study: str, sent: Masking) -> dict[str, Any]:
    """Hides the names of builds until the standing plan is done, or shows them early."""
    say = hide_names if sent.masked else show_names
    say(site.wb, standing(site, study).plan.id, by=by, now=site.now())
    return {"study": study, "masked": names_hidden(load_study(site.wb, study))}


@router.get("/live", responses={**UNKNOWN, **HIDDEN}, dependencies=[Depends(study_in_sight)])
def live(site: Here, study: str) -> dict[str, Any]:
    """What may be said while measuring goes on, line by line, and what would settle it."""
    return live_answer(live_header(load_study(site.wb, study)))


def standing(site: Site, study: str) -> PlanNow:
    """The plan that stands. Raises NotFound."""
    there = plan_now(site.wb, study)
    if there is None:
        raise NotFound(f"study '{study}' has no plan", where=study, todo="make one first")
    return there


def answered(site: Site, study: str, there: PlanNow) -> dict[str, Any]:
    """A plan with what is expected of its tests."""
    record = load_study(site.wb, study)
    seen = outlook_of(site.wb, record, there.live.looks)
    return plan_answer(as_told(record, there), seen, hidden=names_hidden(record))
