"""Who takes part in the runs of a study just now: a part of its bench, which asks for it now and then."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from evenhand.desk.bench.admitting import of_other_studies
from evenhand.desk.bench.planning import plan_now
from evenhand.desk.pages.bench import places_open
from evenhand.desk.pages.running import RunningTrial
from evenhand.web.rigs import HELD_FOR, RigNow, Slot, quiet_words
from evenhand.web.running import running_here
from evenhand.web.served import Site
from evenhand.web.showing import show
from evenhand.web.site import Here

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class TakesPart:
    """A rig, what it does, and for how long nothing was heard of it; "" as long as it is heard."""

    rig: RigNow
    does: str
    quiet: str
    comes_again: str


@router.get("/studies/{study}/bench/rigs")
def rigs_part(request: Request, site: Here, study: str) -> Response:
    """The part by itself."""
    plan = plan_now(site.wb, study)
    trials = running_here(request, site, study)
    rigs = taking_part(request, site, study, places_open(plan) if plan else {}, trials)
    return show(request, "taking_part.html", key=study, rigs=rigs, running=trials)


def taking_part(
    request: Request, site: Site, study: str, places: Mapping[Slot, int],
    trials: Collection[RunningTrial],
) -> tuple[TakesPart, ...]:  # fmt: skip
    """The rigs that may make runs of this study, the last heard first; `places` are those of open slots.

    Those that run trials take part in no run meanwhile, and are told apart.
    """
    busy = {each.rig for each in trials}
    now, others = site.now(), of_other_studies(site.wb, study)
    there: tuple[RigNow, ...] = request.app.state.rigs.all()
    return tuple(
        told(rig, places.get(rig.slot) if rig.slot else None, rig.quiet_s(now))
        for rig in there
        if rig.device not in others | busy and rig.here(now)
    )


def told(rig: RigNow, place: int | None, quiet_s: int | None) -> TakesPart:
    """A rig in words: one that was killed says nothing any more, and its run is kept for it for a while."""
    does = "waits" if place is None else f"has run {place}"
    again = ""
    if rig.ended:
        does = "takes part no longer"
    elif quiet_s is not None and place is not None:
        kept = quiet_words(int(HELD_FOR.total_seconds()))
        again = f"Run {place} comes again once it is back; after {kept} another rig may have it."
    quiet = "" if quiet_s is None else quiet_words(quiet_s)
    return TakesPart(rig=rig, does=does, quiet=quiet, comes_again=again)
