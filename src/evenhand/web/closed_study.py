"""What keeps a study that is put away from being changed, whichever route somebody asks by."""

from __future__ import annotations

from fastapi import Request

from evenhand.desk.study.away import away_now, refuse_away
from evenhand.web.admission import WRITE
from evenhand.web.answers import Asked
from evenhand.web.served import Site
from evenhand.web.site import Here

OWN = ("/put-away", "/bring-back")  # by which it is put away and brought back
SEARCHES = tuple(f"/money/{page}/{what}" for page in ("better", "paths") for what in ("stop", "again"))
"""By which searches are stopped and begun again: they change nothing that is on record."""


def study_at_hand(request: Request, site: Here) -> None:
    """Raises StudyIsAway where a request would change a study that is put away."""
    study = request.path_params.get("study")
    if study and request.method in WRITE and not request.url.path.endswith(OWN + SEARCHES):
        refuse_away(site.wb, study)


def edit_of(site: Site, study: str, asked: Asked) -> str:
    """Which part of a page somebody wants as a form: none of a study that is put away."""
    return "" if study in away_now(site.wb) else asked.edit
