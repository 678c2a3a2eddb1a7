"""A table of parts brought in: pasted or chosen, its columns said, its rows kept or undone."""

from __future__ import annotations

from collections.abc import Mapping

from fastapi import APIRouter, Request
from fastapi.responses import Response
from starlette.datastructures import FormData

from evenhand.desk.pages.part_table import (
    PartTablePage,
    blank_part_table,
    kept_part_table,
    part_table_page,
    parts_said_at_first,
)
from evenhand.desk.parts.noting import SOURCE, undo_many
from evenhand.desk.parts.part_sheets import SaidOfParts, keep_parts, reading_parts
from evenhand.errors import EvenhandError
from evenhand.folders.sheets import MOST_COLUMNS, read_sheet
from evenhand.web.forms import Sent, typed
from evenhand.web.pages.offer_table import numbers_said, text_of
from evenhand.web.showing import show
from evenhand.web.site import Here
from evenhand.web.worth_fields import today_at

router = APIRouter(prefix="/studies/{study}/parts-table", include_in_schema=False)

FIELDS = ("text", "name", "kind", "was", "source", "day", "wrong")


@router.get("")
def bring(request: Request, site: Here, study: str) -> Response:
    """Where a table is pasted or chosen."""
    return drawn(request, blank_part_table(site.wb, study), {})


@router.post("")
def look(request: Request, site: Here, study: str, sent: Sent) -> Response:
    """The table as it is read, nothing of it kept."""
    try:
        text, name = text_of(sent)
        sheet = read_sheet(text, name=name)
    except EvenhandError as trouble:
        wrong = {**sent, "wrong": f"{trouble.found}; {trouble.todo}."}
        return drawn(request, blank_part_table(site.wb, study), wrong, status=422)
    kind, again = typed(sent, "kind"), bool(typed(sent, "columns"))
    # Of another kind other facts stand in it: what was said of columns for the kind before says nothing then.
    said = said_of(sent) if again and kind == typed(sent, "was") else parts_said_at_first(sheet, kind)
    found = reading_parts(site.wb, sheet, said, today=today_at(site))()
    page = part_table_page(site.wb, study, found, said)
    return drawn(request, page, {**sent, "text": text, "name": name, "kind": said.kind})


@router.post("/keep")
def keep(request: Request, site: Here, study: str, sent: Sent) -> Response:
    """Keeps what is new of the table; what is not yet said is asked for first."""
    text, name = text_of(sent)
    sheet, said = read_sheet(text, name=name), said_of(sent)
    once = reading_parts(site.wb, sheet, said, today=today_at(site))
    if once().problems or said.kind != typed(sent, "was"):
        return look(request, site, study, sent)
    found, numbers = keep_parts(site.wb, once, kind=said.kind, now=site.now())
    return drawn(request, kept_part_table(site.wb, study, found, numbers), {"name": name})


@router.post("/undo")
def undo(request: Request, site: Here, study: str, sent: Sent) -> Response:
    """Notes again what stood before the facts that came with one table; parts that it brought stay."""
    back = undo_many(site.wb, numbers_said(sent), now=site.now(), today=today_at(site))
    many = "1 fact stands" if len(back) == 1 else f"{len(back)} facts stand"
    done = {"words": f"{many} as before the table.", "numbers": ",".join(str(fact.id) for fact in back)}
    return drawn(request, blank_part_table(site.wb, study), {}, done=done)


def drawn(
    request: Request, page: PartTablePage, said: Mapping[str, object], *, status: int = 200,
    done: dict[str, str] | None = None,
) -> Response:  # fmt: skip
    """The page."""
    said = {**dict.fromkeys(FIELDS, ""), **said}
    return show(request, "part_table.html", status=status, page=page, said=said, done=done, usual=SOURCE)


def said_of(sent: FormData) -> SaidOfParts:
    """What the form says of the table's columns and of all its rows."""
    asked = typed(sent, "columns")
    count = min(int(asked), MOST_COLUMNS) if asked.isascii() and asked.isdigit() and len(asked) < 9 else 0
    return SaidOfParts(
        columns={at: typed(sent, f"column-{at}") for at in range(count)},
        kind=typed(sent, "kind"),
        source=typed(sent, "source"),
        day=typed(sent, "day"),
    )
