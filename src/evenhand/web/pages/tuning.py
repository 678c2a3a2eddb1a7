"""The tuning page: read first; a part, a limit or a trial as a form; trials and limits taken back."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Depends, Path, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.datastructures import FormData

from evenhand.desk.on_record import load_study
from evenhand.desk.pages.tuning import Looked, TuningPage, part_address, tuning_page
from evenhand.desk.pages.tuning_heat import FileShown, file_shown, look_at_named
from evenhand.desk.study.checking import FieldProblem
from evenhand.desk.tuning.noting import (
    drafted_limit,
    drafted_trial,
    drafted_tuned,
    note_limit,
    note_trial,
    note_tuned,
    take_back_limit,
    take_back_trial,
    tuned_part,
)
from evenhand.errors import EvenhandError, NotFound
from evenhand.records.trials import Tuned
from evenhand.web import tuning_fields as fields
from evenhand.web.answers import View
from evenhand.web.closed_study import edit_of
from evenhand.web.forms import Form, Reading, Sent, typed
from evenhand.web.heat_fields import BACK, BRING, COLUMNS, HeatQuery, HeatView, column_values
from evenhand.web.hidden import study_in_sight
from evenhand.web.pages.brief import READING, Editing, unsaved
from evenhand.web.served import Site
from evenhand.web.showing import show
from evenhand.web.site import Here
from evenhand.web.study_fields import filled_form
from evenhand.web.worth_fields import today_at

PART, STOCK, LIMIT, TRIAL = "part", "stock", "limit", "trial"
NUMBERS = ("stock_clock_mhz", "stock_voltage_mv", "clock_step_mhz", "voltage_step_mv", "hottest_room_c")
BACK_TRIAL, BACK_LIMIT = "back-trial-", "back-limit-"

router = APIRouter(
    include_in_schema=False, prefix="/studies/{study}/tuning", dependencies=[Depends(study_in_sight)]
)

Number = Annotated[int, Path(ge=1, le=2**62)]
Place = Annotated[int, Query(ge=0, le=10_000)]


@router.get("")
def tuning(
    request: Request,
    site: Here,
    study: str,
    view: View,
    heat: HeatView,
    of: str = "",
    load: Place = 0,
    just: str = "",
) -> HTMLResponse:
    """One tuned part under one load, with one part of the page as a form where that is asked for."""
    page = tuning_page(site.wb, study, Looked(of=of, load=load, just=just, heat=heat.looked))
    edited = editing(site, page, edit_of(site, study, view), heat)
    return drawn(request, page, edited, heat=heat, file=heat_file(site, page, edited.part, heat))


NO_HEAT = HeatQuery()


def drawn(
    request: Request,
    page: TuningPage,
    edited: Editing,
    *,
    heat: HeatQuery = NO_HEAT,
    file: FileShown | None = None,
) -> HTMLResponse:
    """The page; one that holds mistakes says so."""
    own = request.url.path if request.method == "GET" else f"/studies/{page.frame.study}/tuning"
    query = f"?{request.url.query}" if request.method == "GET" and request.url.query else ""
    return show(
        request, "tuning.html", status=422 if edited.form.errors else 200, page=page, edited=edited,
        place=own, here=f"{own}{query}", quantities=fields.QUANTITIES, outcomes=fields.OUTCOMES,
        kinds=fields.KINDS, meters=fields.METERS, heat=heat, heat_file=file,
    )  # fmt: skip


def heat_file(site: Site, page: TuningPage, part: str, heat: HeatQuery) -> FileShown | None:
    """The log whose columns are asked about; None where none is."""
    if page.part is None or part != COLUMNS:
        return None
    return file_shown(site.wb, page.part.tuned, log=heat.file, run=heat.run)


def editing(site: Site, page: TuningPage, part: str, heat: HeatQuery) -> Editing:
    """A form as it begins; any other part is none."""
    if part == PART:
        return Editing(part=part, form=Form(name=part, values=fields.part_values(page)))
    if page.part is None:
        return READING
    if part == STOCK:
        return Editing(part=part, form=Form(name=part, values=fields.stock_values(page.part.tuned)))
    if part == LIMIT:
        return Editing(part=part, form=Form(name=part, values=fields.limit_values(today_at(site))))
    if part == TRIAL:
        return Editing(part=part, form=Form(name=part, values=fields.trial_values(page)))
    if part == BRING:
        return Editing(part=part, form=Form(name=part))
    if part == COLUMNS and (heat.file or heat.run):
        file = look_at_named(site.wb, page.part.tuned, log=heat.file, run=heat.run)
        return Editing(part=part, form=Form(name=part, values=column_values(file, page.part.tuned.part)))
    numbers = {f"{BACK_TRIAL}{row.number}" for row in page.part.trials}
    numbers |= {f"{BACK}{row.number}" for row in (page.heat.logs if page.heat else ())}
    numbers |= {f"{BACK_LIMIT}{line.number}" for line in page.part.limits}
    return Editing(part=part, form=Form(name="back")) if part in numbers else READING


def of_study(site: Site, study: str, sent: FormData) -> Tuned:
    """The tuned part that a form is about. Raises NotFound for one of no setup of this study."""
    setup, _, part = typed(sent, "of").partition("~")
    if setup not in load_study(site.wb, study).setups:
        raise NotFound(f"'{setup}' is no setup of this study", where="setup", todo="go back to the page")
    return tuned_part(site.wb, setup, part)


def _emptied(reading: Reading, before: Tuned | None) -> Iterator[FieldProblem]:
    """That a number which is on record was emptied: it can only be replaced."""
    for field in NUMBERS if before is not None else ():
        if (
            reading.given[field] is None
            and getattr(before, field) is not None
            and field not in reading.errors
        ):
            found = "a number is on record and nothing stands here"
            yield FieldProblem(field=field, found=found, todo="write the one that holds")


@router.post("/part")
def save_part(request: Request, site: Here, study: str, sent: Sent) -> Response:
    """Notes a part with its stock and steps, or changes them."""
    reading, name = fields.read_part(sent), STOCK if typed(sent, "of") else PART
    before = of_study(site, study, sent) if name == STOCK else None
    problems = (*drafted_tuned(site.wb, reading.given).problems, *_emptied(reading, before))
    if reading.given["setup"] not in load_study(site.wb, study).setups:
        problems = (FieldProblem(field="setup", found="this study has no such setup", todo="choose one"),)

    def keep() -> tuple[Tuned, str]:
        return note_tuned(site.wb, reading.given, now=site.now()), "part"

    return saved(request, site, study, filled_form(name, reading, problems), typed(sent, "of"), keep)


@router.post("/limit")
def save_limit(request: Request, site: Here, study: str, sent: Sent) -> Response:
    """Notes a limit of the maker's."""
    own, reading, today = of_study(site, study, sent), fields.read_limit(sent), today_at(site)
    problems = drafted_limit(site.wb, own.setup, own.part, reading.given, today=today).problems

    def keep() -> tuple[Tuned, str]:
        made = note_limit(site.wb, own.setup, own.part, reading.given, now=site.now(), today=today)
        return own, f"limit-{made.id}"

    return saved(request, site, study, filled_form(LIMIT, reading, problems), typed(sent, "of"), keep)


@router.post("/trial")
def save_trial(request: Request, site: Here, study: str, sent: Sent) -> Response:
    """Notes a trial; the very form again is the same trial."""
    own = of_study(site, study, sent)
    reading = fields.read_trial(sent, own.setup, own.part)
    problems = drafted_trial(site.wb, reading.given, now=site.now()).problems

    def keep() -> tuple[Tuned, str]:
        return own, f"trial-{note_trial(site.wb, reading.given, now=site.now()).trial.id}"

    return saved(request, site, study, filled_form(TRIAL, reading, problems), typed(sent, "of"), keep)


def saved(
    request: Request, site: Site, study: str, form: Form, of: str, keep: Callable[[], tuple[Tuned, str]]
) -> Response:
    """Keeps what was sent and goes back to the page, or shows it with what is wrong at its fields."""
    if not form.errors:
        try:
            own, just = keep()
        except EvenhandError as refused:
            form = unsaved(form, refused)
        else:
            return RedirectResponse(f"{part_address(study, own, just=just)}#done", status_code=303)
    page = tuning_page(site.wb, study, Looked(of=of))
    return drawn(request, page, Editing(part=form.name, form=form))


@router.post("/trials/{number}/take-back")
def back_trial(request: Request, site: Here, study: str, number: Number, sent: Sent) -> Response:
    """A trial counts no more."""
    own = of_study(site, study, sent)

    def keep() -> tuple[Tuned, str]:
        take_back_trial(site.wb, own.setup, own.part, number, typed(sent, "reason"), now=site.now())
        return own, f"back-{number}"

    return taken(request, site, study, sent, f"{BACK_TRIAL}{number}", keep)


@router.post("/limits/{number}/take-back")
def back_limit(request: Request, site: Here, study: str, number: Number, sent: Sent) -> Response:
    """A limit counts no more."""
    own = of_study(site, study, sent)

    def keep() -> tuple[Tuned, str]:
        take_back_limit(site.wb, own.setup, own.part, number, typed(sent, "reason"), now=site.now())
        return own, f"gone-{number}"

    return taken(request, site, study, sent, f"{BACK_LIMIT}{number}", keep)


def taken(
    request: Request, site: Site, study: str, sent: FormData, part: str, keep: Callable[[], tuple[Tuned, str]]
) -> Response:
    """Takes something back, or asks for the reason where none was written."""
    reason = typed(sent, "reason")
    if reason:
        own, just = keep()
        return RedirectResponse(f"{part_address(study, own, just=just)}#done", status_code=303)
    page = tuning_page(site.wb, study, Looked(of=typed(sent, "of")))
    errors = {"reason": "It is not said why: say in a few words what was wrong with it."}
    form = Form(name="back", values=Reading(given={}, typed={"reason": ""}).typed, errors=errors)
    return drawn(request, page, Editing(part=part, form=replace(form, start="reason")))
