"""A table of offers brought in: pasted or chosen, its columns said, its rows kept or given back."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping

from fastapi import APIRouter, Request
from fastapi.responses import Response
from starlette.datastructures import FormData, UploadFile

from evenhand.desk.pages.offer_table import ORDERS, TablePage, blank_page, kept_page, read_page, said_at_first
from evenhand.desk.parts.offer_sheets import Said, keep_offers, read_offers, reading
from evenhand.desk.parts.offering import put_back_offers, take_back_offers
from evenhand.desk.study.on_shelf import study_called
from evenhand.errors import BadRecord, EvenhandError
from evenhand.folders.sheets import MOST_BYTES, MOST_COLUMNS, Sheet, decoded, read_sheet
from evenhand.publish.spreadsheets import neutral
from evenhand.web.forms import Sent, typed
from evenhand.web.offer_fields import SELLERS
from evenhand.web.served import Site
from evenhand.web.showing import show
from evenhand.web.site import Here
from evenhand.web.worth_fields import today_at

router = APIRouter(prefix="/studies/{study}/offers", include_in_schema=False)

PASTED = "The pasted table"
FIELDS = ("text", "name", "part", "day", "currency", "decimals", "seller", "order", "sure", "wrong")
NUMBERS = 100_000  # of offers that are taken back at once


@router.get("")
def bring(request: Request, site: Here, study: str) -> Response:
    """Where a table is pasted or chosen."""
    return drawn(request, blank_page(site.wb, study), {})


@router.post("")
def look(request: Request, site: Here, study: str, sent: Sent) -> Response:
    """The table as it is read, nothing of it kept."""
    try:
        text, name = text_of(sent)
        sheet = read_sheet(text, name=name)
    except EvenhandError as trouble:
        wrong = {**sent, "wrong": f"{trouble.found}; {trouble.todo}."}
        return drawn(request, blank_page(site.wb, study), wrong, status=422)
    money = study_called(site.wb, study).currency
    said = said_of(sent) if typed(sent, "columns") else said_at_first(site.wb, sheet, money)
    found = read_offers(site.wb, sheet, said, currency=money, today=today_at(site))
    page = read_page(site.wb, study, found, said, money)
    return drawn(request, page, {**sent, "text": text, "name": name})


@router.post("/keep")
def keep(request: Request, site: Here, study: str, sent: Sent) -> Response:
    """Keeps what is new of the table; what is not yet said is asked for first."""
    sheet, said = sheet_of(sent), said_of(sent)
    money = study_called(site.wb, study).currency
    once = reading(site.wb, sheet, said, currency=money, today=today_at(site))
    if once().problems:
        return look(request, site, study, sent)
    found, numbers = keep_offers(site.wb, once, now=site.now())
    page = kept_page(site.wb, study, found, numbers)
    return drawn(request, page, {**sent, "name": sheet.name})


@router.post("/refused.csv")
def refused(site: Here, study: str, sent: Sent) -> Response:
    """The rows that were not kept, as a table with their lines and the reasons."""
    sheet, said = sheet_of(sent), said_of(sent)
    money = study_called(site.wb, study).currency
    found = read_offers(site.wb, sheet, said, currency=money, today=today_at(site))
    out = io.StringIO()
    table = csv.writer(out, delimiter=sheet.delimiter)
    table.writerow(["line", "why not", *map(neutral, sheet.header)])
    for each in (*found.refused, *found.asked):
        table.writerow([each.row.line, neutral(each.reason or each.asks), *map(neutral, each.row.cells)])
    headers = {"Content-Disposition": 'attachment; filename="rows-not-kept.csv"'}
    return Response(out.getvalue(), media_type="text/csv; charset=utf-8", headers=headers)


@router.post("/take-back")
def take_all_back(request: Request, site: Here, study: str, sent: Sent) -> Response:
    """Offers that came with one table count no more."""
    take_back_offers(site.wb, numbers_said(sent), now=site.now())
    return undone(
        request, site, study, numbers_said(sent), "taken back; they stay on record and count no more"
    )


@router.post("/put-back")
def put_all_back(request: Request, site: Here, study: str, sent: Sent) -> Response:
    """The same offers again."""
    back = [offer.id for offer in put_back_offers(site.wb, numbers_said(sent), now=site.now())]
    return undone(request, site, study, back, "put back", verb="take-back", label="Take them back")


def undone(
    request: Request, site: Site, study: str, numbers: list[int], what: str, *, verb: str = "put-back",
    label: str = "Undo",
) -> Response:  # fmt: skip
    """The page on which a table is brought, with what was done and the way back."""
    many = "1 offer was" if len(numbers) == 1 else f"{len(numbers)} offers were"
    done = {"words": f"{many} {what}.", "numbers": ",".join(map(str, numbers)), "verb": verb, "label": label}
    return drawn(request, blank_page(site.wb, study), {}, done=done)


def drawn(
    request: Request, page: TablePage, said: Mapping[str, object], *, status: int = 200,
    done: dict[str, str] | None = None,
) -> Response:  # fmt: skip
    """The page."""
    said = {**dict.fromkeys(FIELDS, ""), **said}
    return show(
        request,
        "offer_table.html",
        status=status,
        page=page,
        said=said,
        sellers=SELLERS,
        orders=ORDERS,
        done=done,
    )


def text_of(sent: FormData) -> tuple[str, str]:
    """What was pasted or chosen, and what it is called. Raises BadRecord where nothing was."""
    file = sent.get("file")
    if isinstance(file, UploadFile) and file.filename:
        data = file.file.read(2 * MOST_BYTES + 1)
        return decoded(data, file.filename), file.filename
    text = sent.get("text")
    if not isinstance(text, str) or not text.strip():
        raise BadRecord(
            "nothing was pasted or chosen", todo="paste the table with its header, or choose its file"
        )
    return text, typed(sent, "name") or PASTED


def sheet_of(sent: FormData) -> Sheet:
    """The table that was sent again."""
    text, name = text_of(sent)
    return read_sheet(text, name=name)


def said_of(sent: FormData) -> Said:
    """What the form says of the table's columns and of all its rows."""
    asked = typed(sent, "columns")
    count = min(int(asked), MOST_COLUMNS) if asked.isascii() and asked.isdigit() else 0
    return Said(
        columns={at: typed(sent, f"column-{at}") for at in range(count)},
        part=typed(sent, "part"),
        currency=typed(sent, "currency"),
        decimals=typed(sent, "decimals"),
        day=typed(sent, "day"),
        seller=typed(sent, "seller"),
        order=typed(sent, "order"),
        sure=typed(sent, "sure") == "yes",
    )


def numbers_said(sent: FormData) -> list[int]:
    """The numbers of offers in a form. Raises BadRecord where they are none."""
    said = typed(sent, "numbers").split(",")
    if not all(each.isascii() and each.isdigit() and len(each) < 18 for each in said) or len(said) > NUMBERS:
        raise BadRecord("the form came in pieces", todo="load the page again, and send it anew")
    return [int(each) for each in said]
