"""A table of offers or parts brought in: pasted or chosen, its columns said, its rows kept or given back."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from typing import Literal

from fastapi import APIRouter, Request
from fastapi.responses import Response
from starlette.datastructures import FormData, UploadFile

from evenhand.desk.on_record import load_study
from evenhand.desk.pages.any_table import Given, TablePage, TableUse, Undone
from evenhand.desk.pages.frame import address, frame_of
from evenhand.desk.pages.offer_table import OFFERS
from evenhand.desk.pages.part_table import PARTS
from evenhand.errors import BadRecord, EvenhandError
from evenhand.folders.sheets import MOST_BYTES, MOST_COLUMNS, Sheet, decoded, read_sheet
from evenhand.publish.spreadsheets import neutral
from evenhand.web.forms import Sent, typed
from evenhand.web.served import Site
from evenhand.web.showing import show
from evenhand.web.site import Here
from evenhand.web.worth_fields import today_at

router = APIRouter(prefix="/studies/{study}/tables/{of}", include_in_schema=False)

Of = Literal["offers", "parts"]
USES: Mapping[str, TableUse] = {use.key: use for use in (OFFERS, PARTS)}
PASTED = "The pasted table"
NUMBERS = 100_000  # of offers or facts that are taken back at once


@router.get("")
def bring(request: Request, site: Here, study: str, of: Of) -> Response:
    """Where a table is pasted or chosen."""
    return drawn(request, study, USES[of], blank(site, study, USES[of]), {})


@router.post("")
def look(request: Request, site: Here, study: str, of: Of, sent: Sent) -> Response:
    """The table as it is read, nothing of it kept."""
    use = USES[of]
    try:
        sheet, text = sheet_of(sent)
    except EvenhandError as trouble:
        wrong = {**sent, "wrong": f"{trouble.found}; {trouble.todo}."}
        return drawn(request, study, use, blank(site, study, use), wrong, status=422)
    found = use.look(site.wb, study, sheet, given_of(use, sent), today_at(site))
    return drawn(request, study, use, found.page, {**sent, "text": text, "name": sheet.name})


@router.post("/keep")
def keep(request: Request, site: Here, study: str, of: Of, sent: Sent) -> Response:
    """Keeps what is new of the table; what is not yet said is asked for first."""
    use, (sheet, text) = USES[of], sheet_of(sent)
    page = use.keep(site.wb, study, sheet, given_of(use, sent), site.now(), today_at(site))
    return drawn(request, study, use, page, {**sent, "text": text, "name": sheet.name})


@router.post("/refused.csv")
def refused(site: Here, study: str, of: Of, sent: Sent) -> Response:
    """The rows that were not kept, as a table with their lines and the reasons."""
    use, (sheet, _) = USES[of], sheet_of(sent)
    found = use.look(site.wb, study, sheet, given_of(use, sent), today_at(site))
    out = io.StringIO()
    table = csv.writer(out, delimiter=sheet.delimiter)
    table.writerow(["line", "why not", *map(neutral, sheet.header)])
    for each in found.refused:
        table.writerow([each.line, neutral(each.why), *map(neutral, each.cells)])
    headers = {"Content-Disposition": 'attachment; filename="rows-not-kept.csv"'}
    return Response(out.getvalue(), media_type="text/csv; charset=utf-8", headers=headers)


@router.post("/undo")
def undo(request: Request, site: Here, study: str, of: Of, sent: Sent) -> Response:
    """Takes back what came with one table, or brings it again where that was just taken back."""
    use = USES[of]
    verb = use.bring_again if typed(sent, "again") == "yes" else use.take_back
    done = verb(site.wb, numbers_said(sent), site.now(), today_at(site))
    return drawn(request, study, use, blank(site, study, use), {}, done=done)


def blank(site: Site, study: str, use: TableUse) -> TablePage:
    """The page before there is a table."""
    return TablePage(frame=frame_of(load_study(site.wb, study), "builds"), answer=use.blank)


def drawn(
    request: Request, study: str, use: TableUse, page: TablePage, said: Mapping[str, object], *,
    status: int = 200, done: Undone | None = None,
) -> Response:  # fmt: skip
    """The page."""
    kind = next((each.value for each in page.for_all if each.name == "kind"), said.get("kind", ""))
    about = {
        "page": page,
        "use": use,
        "here": address(study, "tables", use.key),
        "back": address(study, *use.back),
        "said": {**dict.fromkeys(("text", "name", "wrong", "sure", *use.fields), ""), **said, "was": kind},
        "done": done,
    }
    return show(request, "any_table.html", status=status, **about)


def sheet_of(sent: FormData) -> tuple[Sheet, str]:
    """The table that was pasted or chosen, or sent again, and its text. Raises BadRecord for none."""
    file = sent.get("file")
    if isinstance(file, UploadFile) and file.filename:
        text = decoded(file.file.read(2 * MOST_BYTES + 1), file.filename)
        return read_sheet(text, name=file.filename), text
    given = sent.get("text")
    if not isinstance(given, str) or not given.strip():
        raise BadRecord(
            "nothing was pasted or chosen", todo="paste the table with its header, or choose its file"
        )
    return read_sheet(given, name=typed(sent, "name") or PASTED), given


def given_of(use: TableUse, sent: FormData) -> Given:
    """What the form says of the table's columns and of all its rows."""
    asked = typed(sent, "columns")
    texts = {name: typed(sent, name) for name in use.fields}
    if not asked:
        return Given(columns=None, texts=texts)
    count = min(int(asked), MOST_COLUMNS) if asked.isascii() and asked.isdigit() and len(asked) < 9 else 0
    return Given(columns={at: typed(sent, f"column-{at}") for at in range(count)}, texts=texts)


def numbers_said(sent: FormData) -> list[int]:
    """The numbers of offers or facts in a form. Raises BadRecord where they are none."""
    said = typed(sent, "numbers").split(",")
    if not all(each.isascii() and each.isdigit() and len(each) < 18 for each in said) or len(said) > NUMBERS:
        raise BadRecord("the form came in pieces", todo="load the page again, and send it anew")
    return [int(each) for each in said]
