"""Where tuned parts of a study stand, for programs, and what is done about their trials and limits."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Path, Query, Request
from pydantic import BaseModel, Field

from evenhand.desk.on_record import load_study
from evenhand.desk.tuning import noting
from evenhand.desk.tuning.answers import trial_answer, trials_answer, tuned_answer, tuning_answer
from evenhand.desk.tuning.coming import limit_answer
from evenhand.desk.tuning.of_study import now_of, tuned_of
from evenhand.desk.tuning.series import every_or_one, trials_ever, turns_of_trials
from evenhand.desk.tuning.under_way import ask_stop, give_up, running, running_of
from evenhand.desk.tuning.under_way_answers import under_way_answer
from evenhand.errors import NotFound, nearest
from evenhand.records.trials import Tuned
from evenhand.web.hidden import HIDDEN, study_in_sight
from evenhand.web.running import heard_of
from evenhand.web.site import By, Here

REFUSED: dict[int | str, dict[str, Any]] = {
    **HIDDEN,
    404: {"description": "There is no such study, setup, tuned part, trial or limit."},
    422: {"description": "Something lacks or cannot be used; `where` names it."},
}

router = APIRouter(
    prefix="/api/studies/{study}/tuning",
    tags=["Tuning"],
    dependencies=[Depends(study_in_sight)],
    responses=REFUSED,
)
ending = APIRouter(prefix="/api/studies/{study}/tuning", tags=["Tuning"], responses=REFUSED)
"""What ends a trial that runs: never refused, also while names are hidden. A part may run hot."""

PartNamed = Annotated[str, Query(description="The kind of the part; may be left out where one is tuned.")]
Number = Annotated[int, Path(ge=1, le=2**62)]


class Why(BaseModel):
    """Why something is taken back, put back or given up."""

    reason: Annotated[str, Field(max_length=2000)]


def part_of(site: Here, study: str, setup: str, part: PartNamed = "") -> Tuned:
    """The tuned part that is asked about. Raises NotFound for one of no setup of this study."""
    setups = load_study(site.wb, study).setups
    if setup not in setups:
        raise NotFound(f"'{setup}' is no setup of this study", where="setup", todo=nearest(setup, setups))
    return noting.tuned_part(site.wb, setup, part or noting.only_part(site.wb, setup))


Of = Annotated[Tuned, Depends(part_of)]


@router.get("")
def tuned_parts(request: Request, site: Here, study: str) -> dict[str, Any]:
    """Every tuned part of a study with its limits, and the trials that run just now."""
    record = load_study(site.wb, study)
    return {
        "study": study,
        "tuned": [tuned_answer(each) for each in tuned_of(site.wb, record)],
        "under_way": [under_way_answer(each) for each in running(site.wb, record.setups, heard_of(request))],
    }


@router.get("/{setup}")
def tuning(
    site: Here,
    study: str,
    of: Of,
    load: Annotated[str, Query(description="Only trials under this load.")] = "",
) -> dict[str, Any]:
    """What comes next, what is advised and what may be claimed, in the shape of `evenhand tuning --json`."""
    record = load_study(site.wb, study)
    every = every_or_one(site.wb, of.setup, of.part, load)
    return tuning_answer(of, [now_of(record, series) for series in every])


@router.get("/{setup}/trials")
def trials(request: Request, site: Here, of: Of) -> dict[str, Any]:
    """Every trial there ever was, and what runs, in the shape of `evenhand trials --json`."""
    every, turns = trials_ever(site.wb, of.setup, of.part)[0], turns_of_trials(site.wb)
    now_running = running_of(site.wb, of.setup, of.part, heard_of(request))
    return trials_answer(of, every, turns, now_running)


@ending.post("/{setup}/stop")
def stop(site: Here, of: Of, by: By) -> dict[str, Any]:
    """Asks that the trial be ended that a rig runs; the rig hears it with its next word."""
    return under_way_answer(ask_stop(site.wb, of.setup, of.part, by=by, now=site.now()))


@ending.post("/{setup}/give-up")
def no_record_comes(site: Here, of: Of, why: Why) -> dict[str, Any]:
    """Tells a trial as running no more, since no record of it will come."""
    return under_way_answer(give_up(site.wb, of.setup, of.part, why.reason, now=site.now()))


@router.post("/{setup}/trials/{number}/take-back")
def take_back_trial(site: Here, of: Of, number: Number, why: Why) -> dict[str, Any]:
    """A trial that was a mistake counts no more; it stays on record with the reason."""
    noting.take_back_trial(site.wb, of.setup, of.part, number, why.reason, now=site.now())
    return _trial(site, of, number)


@router.post("/{setup}/trials/{number}/put-back")
def put_back_trial(site: Here, of: Of, number: Number, why: Why) -> dict[str, Any]:
    """A trial that had been taken back counts again, with the reason."""
    noting.put_back_trial(site.wb, of.setup, of.part, number, why.reason, now=site.now())
    return _trial(site, of, number)


@router.post("/{setup}/limits/{number}/take-back")
def take_back_limit(site: Here, of: Of, number: Number, why: Why) -> dict[str, Any]:
    """A limit that was a mistake counts no more; it stays on record with the reason."""
    found = noting.take_back_limit(site.wb, of.setup, of.part, number, why.reason, now=site.now())
    return limit_answer(found)


@router.post("/{setup}/limits/{number}/put-back")
def put_back_limit(site: Here, of: Of, number: Number, why: Why) -> dict[str, Any]:
    """A limit that had been taken back counts again, with the reason."""
    found = noting.put_back_limit(site.wb, of.setup, of.part, number, why.reason, now=site.now())
    return limit_answer(found)


def _trial(site: Here, of: Tuned, number: int) -> dict[str, Any]:
    every, turns = trials_ever(site.wb, of.setup, of.part)[0], turns_of_trials(site.wb)
    trial = next(each for each in every if each.id == number)
    return trial_answer(trial, of, turns.get(number, ()))
