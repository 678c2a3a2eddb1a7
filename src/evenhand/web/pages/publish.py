"""What goes out of a study: editions with all their files, disclosures, and who publishes."""

from __future__ import annotations

import mimetypes
from collections.abc import Iterator
from typing import Annotated, BinaryIO

from fastapi import APIRouter, Depends, Path, Query, Request
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response, StreamingResponse
from starlette.datastructures import FormData, UploadFile

from evenhand.desk.pages.figures_offered import figures_offered
from evenhand.desk.pages.frame import address
from evenhand.desk.pages.publish import publish_page
from evenhand.desk.publication import publishing
from evenhand.desk.publication.article_files import beside_the_page, report_of, zipped
from evenhand.desk.publication.imprint import Worn, change_imprint, form_fields, wear
from evenhand.desk.publication.narrating import keep_script
from evenhand.desk.study.disclosing import disclose, take_disclosure_back
from evenhand.desk.verdict.answering import MOST_SIGNS
from evenhand.errors import BadRecord
from evenhand.records.publications import How
from evenhand.web.forms import Sent, typed
from evenhand.web.hidden import study_in_sight
from evenhand.web.showing import show
from evenhand.web.site import Here

router = APIRouter(
    include_in_schema=False, prefix="/studies/{study}/publish", dependencies=[Depends(study_in_sight)]
)

Question = Annotated[str, Query(max_length=MOST_SIGNS)]
Number = Annotated[int, Path(ge=1, le=2**31)]
PIECE = 2**20


@router.get("")
def publish(request: Request, site: Here, study: str, ask: Question = "") -> HTMLResponse:
    """Which edition is out, and what moved since; the answer to a question from the audience."""
    page = publish_page(site.wb, study, today=site.now().date(), question=ask)
    return show(request, "publish.html", page=page)


@router.post("")
def freeze(site: Here, study: str, sent: Sent) -> Response:
    """Freezes the next edition."""
    words = tuple(word for word in typed(sent, "masking").split() if word)
    told = publishing.Told(
        reason=typed(sent, "reason"), by="the browser", masking=words, override=typed(sent, "override"),
        pairs=tuple(str(each).split("~") for each in sent.getlist("pair")),
    )  # fmt: skip
    publishing.publish(site.wb, study, told, now=site.now())
    return back(study)


@router.get("/figures")
def figures(site: Here, study: str) -> JSONResponse:
    """The figures that the script may quote, for the field in which it is typed."""
    return JSONResponse(figures_offered(site.wb, study))


@router.post("/script")
def keep_the_script(site: Here, study: str, sent: Sent) -> Response:
    """Keeps the script and holds it against the record."""
    text = str(sent.get("text", "")).replace("\r\n", "\n")
    keep_script(site.wb, study, text, by="the browser", now=site.now())
    return back(study, "#script")


@router.post("/disclosures/{part}")
def say_of_part(site: Here, study: str, part: str, sent: Sent) -> Response:
    """Puts down how the reviewer stands to a part, or takes it back."""
    how, by = how_of(typed(sent, "how")), typed(sent, "by")
    if typed(sent, "back"):
        take_disclosure_back(site.wb, part, how, note="", now=site.now())
    else:
        disclose(site.wb, part, how, by=by, note="", now=site.now())
    return back(study, "#parts")


@router.post("/imprint")
def say_who(site: Here, study: str, sent: Sent) -> Response:
    """Says who publishes, and how."""
    words = typed(sent, "words_a_minute")
    if not words.isdecimal():
        raise BadRecord(f"'{words}' is no number of words", where="words a minute", todo="write it as 150")
    given = {name: typed(sent, name) for name in ("name", "licence", "place", "accent")}
    given |= form_fields(typed(sent, "numbers"), typed(sent, "days"))
    change_imprint(site.wb, {**given, "words_a_minute": int(words)}, now=site.now())
    return back(study, "#imprint")


@router.post("/worn")
def put_on(site: Here, study: str, sent: Sent) -> Response:
    """Puts a mark or a typeface on the cards, or takes one off."""
    wear(site.wb, Worn(mark=sent_file(sent, "mark"), typeface=sent_file(sent, "typeface")), now=site.now())
    return back(study, "#imprint")


def sent_file(sent: FormData, name: str) -> bytes | None:
    """The bytes of a file that was chosen; none at all where it is to be taken off; None where it stays."""
    given = sent.get(name)
    if isinstance(given, UploadFile) and given.size:
        return given.file.read()
    return b"" if typed(sent, f"no-{name}") else None


@router.get("/{number}/report.pdf")
def report(site: Here, study: str, number: Number) -> Response:
    """The report of an edition."""
    return Response(report_of(site.wb, study, number), media_type="application/pdf")


@router.get("/{number}/data.zip")
@router.get("/{number}/article/data.zip")
def data(site: Here, study: str, number: Number) -> Response:
    """The bundle of an edition."""
    return StreamingResponse(
        in_pieces(zipped(site.wb, study, number)), media_type="application/zip",
        headers={"Content-Disposition": f'attachment; filename="{study}-{number}.zip"'},
    )  # fmt: skip


@router.get("/{number}/article/{path:path}")
def article(site: Here, study: str, number: Number, path: str) -> Response:
    """The article of an edition, as any host would serve it."""
    kind = mimetypes.guess_type(path)[0] or "application/octet-stream"
    return Response(beside_the_page(site.wb, study, number, path or "index.html"), media_type=kind)


def in_pieces(whole: BinaryIO) -> Iterator[bytes]:
    """A file as it is sent, let go of at its end."""
    with whole:
        while piece := whole.read(PIECE):
            yield piece


def how_of(text: str) -> How:
    """The kind of a disclosure. Raises BadRecord."""
    try:
        return How(text)
    except ValueError as error:
        raise BadRecord(f"'{text}' is no kind of disclosure", where="how", todo="choose one") from error


def back(study: str, where: str = "") -> Response:
    """Back to the page."""
    return RedirectResponse(f"{address(study, 'publish')}{where}", status_code=303)
