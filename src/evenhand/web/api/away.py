"""Put a study away and bring it back, for programs."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter
from pydantic import BaseModel, ConfigDict, Field

from evenhand.desk.listing import away_answer
from evenhand.desk.study.away import LONGEST_NOTE, bring_study_back, put_study_away
from evenhand.desk.study.away_waiting import land_waiting
from evenhand.web.site import By, Here

router = APIRouter(prefix="/api/studies/{study}", tags=["Brief and builds"])

REFUSED: dict[int | str, dict[str, Any]] = {404: {"description": "There is no such study."}}


class PuttingAway(BaseModel):
    """Why a study is put away."""

    model_config = ConfigDict(extra="forbid")

    note: str = Field(default="", max_length=LONGEST_NOTE, description="Why, in your own words.")


class Away(BaseModel):
    """Since when a study is put away (ISO 8601), from where it was done, and why."""

    since: str
    by: str
    note: str


class PutAway(BaseModel):
    """What stands now; where it was away already, what was said then."""

    study: str
    away: Away


class Back(BaseModel):
    """Whether it was away, how many files that had come for it landed, and how many wait still."""

    study: str
    was_away: bool
    landed: int
    waiting: int


@router.post("/put-away", responses=REFUSED)
def put_away(site: Here, by: By, study: str, sent: PuttingAway) -> PutAway:
    """Puts a study away: it can be read, and nothing of it changes until it is brought back."""
    away = put_study_away(site.wb, study, note=sent.note, by=by, now=site.now())
    return PutAway(study=study, away=Away.model_validate(away_answer(away)))


@router.post("/bring-back", responses=REFUSED)
def bring_back(site: Here, by: By, study: str) -> Back:
    """Brings a study back as it was, and lands what came in for it meanwhile."""
    was_away = bring_study_back(site.wb, study, by=by, now=site.now())
    landed, left = land_waiting(site.wb, study, by=by, now=site.now(), watch=lambda *_: None)
    return Back(study=study, was_away=was_away, landed=landed, waiting=left)
