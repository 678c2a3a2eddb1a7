"""What a tuned part draws and whether tuning was worth it, for programs."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query

from evenhand.desk.on_record import load_study
from evenhand.desk.tuning.asking_watts import asked_watts
from evenhand.desk.tuning.gained_said import worth_answer, worth_said
from evenhand.desk.tuning.of_study import setup_of_study
from evenhand.desk.tuning.watts_said import watts_answer
from evenhand.web.api.tuning import REFUSED, Of
from evenhand.web.hidden import study_in_sight
from evenhand.web.site import Here

router = APIRouter(
    prefix="/api/studies/{study}/tuning",
    tags=["Tuning"],
    dependencies=[Depends(study_in_sight)],
    responses=REFUSED,
)


@router.get("/{setup}/watts")
def watts(
    site: Here,
    study: str,
    of: Of,
    load: Annotated[str, Query(description="Trials under this load; that of the last trial.")] = "",
) -> dict[str, Any]:
    """What a part draws and which clock does the most for a joule, as `evenhand watts --study --json`."""
    return watts_answer(asked_watts(site.wb, of.setup, of.part, load=load, study=study))


@router.get("/{setup}/gain")
def gain(site: Here, study: str, setup: str) -> dict[str, Any]:
    """Whether tuning a setup was worth it, in the shape of `evenhand gain --json`."""
    record = load_study(site.wb, study)
    return worth_answer(worth_said(site.wb, record, setup_of_study(record, setup)), record, setup)
