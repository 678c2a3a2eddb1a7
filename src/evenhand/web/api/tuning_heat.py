"""Temperature logs of tuned parts for programs: told, asked what if, taken back."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query

from evenhand.desk.tuning.asking_heat import told_heat
from evenhand.desk.tuning.heat_answers import heat_log_answer, told_answer
from evenhand.desk.tuning.heat_noting import take_back_heat
from evenhand.tuning.heat_outlook import HeatAsked
from evenhand.web.api.tuning import REFUSED, Number, Of, Why
from evenhand.web.hidden import study_in_sight
from evenhand.web.site import Here

router = APIRouter(
    prefix="/api/studies/{study}/tuning/{setup}/heat",
    tags=["Tuning"],
    dependencies=[Depends(study_in_sight)],
    responses=REFUSED,
)

Log = Annotated[int | None, Query(ge=1, le=2**62, description="A log by its number; the last if left out.")]
Room = Annotated[float | None, Query(ge=-40, le=60, description="Another room, in °C.")]
Watts = Annotated[float | None, Query(ge=0, le=5000, description="Another power, in W.")]
Cooler = Annotated[float | None, Query(gt=0, le=20, description="Another cooler\u2019s own °C per watt.")]
Off = Annotated[float, Query(ge=0, le=20, description="How far off that may be: one standard deviation.")]


@router.get("")
def heat(
    site: Here, study: str, of: Of, log: Log = None, room: Room = None, watts: Watts = None,
    cooler: Cooler = None, off: Off = 0.0,
) -> dict[str, Any]:  # fmt: skip
    """What the temperature logs of a part tell, in the shape of `evenhand heat --json` but for `again`."""
    asked = HeatAsked(room_c=room, watts=watts, cooler_c_per_w=cooler, cooler_off=off)
    return told_answer(told_heat(site.wb, of.setup, of.part, log, asked, study=study))


@router.post("/{number}/take-back")
def take_back(site: Here, of: Of, number: Number, why: Why) -> dict[str, Any]:
    """A log that was a mistake counts no more; it stays on record with the reason."""
    made = take_back_heat(site.wb, of.setup, of.part, number, why.reason, now=site.now())
    return heat_log_answer(made, taken_back=why.reason)
