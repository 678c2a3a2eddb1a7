"""The tuning page: read first; a part, a limit or a trial as a form, looked at while it is filled in."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.datastructures import FormData

from evenhand.desk.on_record import load_study
from evenhand.desk.pages.frame import address
from evenhand.desk.pages.tuning import Looked, TuningPage, tuning_page
from evenhand.desk.pages.tuning_address import part_address
from evenhand.desk.pages.tuning_heat import FileShown, file_shown, look_at_named, room_noted
from evenhand.desk.study.checking import FieldProblem
from evenhand.desk.tuning.checking import asked_about
from evenhand.desk.tuning.noting import (
    already_noted,
    drafted_limit,
    drafted_trial,
    drafted_tuned,
    note_limit,
    note_trial,
    note_tuned,
    tuned_part,
)
from evenhand.errors import EvenhandError, NotFound
from evenhand.records.trials import Tuned
from evenhand.web import tuning_fields as fields
from evenhand.web.answers import View, by_htmx, only_looking
from evenhand.web.closed_study import edit_of
from evenhand.web.forms import NOWHERE, Form, Reading, Sent, typed
from evenhand.web.heat_fields import BACK, BRING, COLUMNS, HeatQuery, HeatView, column_values
from evenhand.web.heat_fields import METERS as HEAT_METERS
from evenhand.web.hidden import study_in_sight
from evenhand.web.pages.brief import READING, Editing, unsaved
from evenhand.web.running import running_here, stopped_here
from evenhand.web.served import Site
from evenhand.web.showing import show
from evenhand.web.site import Here, site_of
from evenhand.web.study_fields import filled_form
from evenhand.web.worth_fields import today_at

PART, STOCK, LIMIT, TRIAL = "part", "stock", "limit", "trial"
NUMBERS = ("stock_clock_mhz", "stock_voltage_mv", "clock_step_mhz", "voltage_step_mv", "hottest_room_c")

router = APIRouter(
    include_in_schema=False, prefix="/studies/{study}/tuning", dependencies=[Depends(study_in_sight)]
)

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
    status = 422 if edited.form.errors and not by_htmx(request) else 200
    return show(
        request, "tuning.html", status=status, page=page, edited=edited, place=own, here=f"{own}{query}",
        quantities=fields.QUANTITIES, outcomes=fields.OUTCOMES, kinds=fields.KINDS, meters=fields.METERS,
        whose=fields.WHOSE,
        running=running_here(request, site_of(request), page.frame.study), heat=heat, heat_file=file,
        heat_meters=HEAT_METERS, stopped_lately=stopped_here(site_of(request), page.frame.study),
    )  # fmt: skip


def heat_file(site: Site, page: TuningPage, part: str, heat: HeatQuery) -> FileShown | None:
    """The log whose columns are asked about; None where none is."""
    if page.part is None or part != COLUMNS:
        return None
    return file_shown(site.wb, page.part.tuned, log=heat.file, run=heat.run)


def editing(site: Site, page: TuningPage, part: str, heat: HeatQuery) -> Editing:
    """A form as it begins; any other part is none."""
    check = check_of(page.frame.study, part)
    if part == PART:
        return Editing(part=part, form=Form(name=part, values=fields.part_values(page), check=check))
    if page.part is None:
        return READING
    if part == STOCK:
        values = fields.stock_values(page.part.tuned)
    elif part == LIMIT:
        values = fields.limit_values(today_at(site))
    elif part == TRIAL:
        values = fields.trial_values(page, today_at(site))
    else:
        return of_heat(site, page, part, heat)
    return Editing(part=part, form=Form(name=part, values=values, check=check))


def of_heat(site: Site, page: TuningPage, part: str, heat: HeatQuery) -> Editing:
    """A form about temperature logs, or one that takes something back or puts it back."""
    assert page.part is not None
    if part == BRING:
        return Editing(part=part, form=Form(name=part))
    if part == COLUMNS and (heat.file or heat.run):
        file = look_at_named(site.wb, page.part.tuned, log=heat.file, run=heat.run)
        room = room_noted(site.wb, page.part.tuned, heat.run)
        return Editing(
            part=part, form=Form(name=part, values=column_values(file, page.part.tuned.part, room))
        )
    return Editing(part=part, form=Form(name="back")) if part in turns_of(page) else READING


def check_of(study: str, part: str) -> str:
    """The address that looks at a form while it is being filled in."""
    return f"{address(study, 'tuning')}/{PART if part == STOCK else part}?check=1"


def turns_of(page: TuningPage) -> frozenset[str]:
    """The parts of the page that take something back or put it back."""
    part = page.part
    if part is None:
        return frozenset()
    return frozenset(
        {f"back-trial-{row.number}" for row in part.trials}
        | {f"put-trial-{row.number}" for row in part.gone}
        | {f"back-limit-{line.number}" for line in part.limits}
        | {f"put-limit-{line.number}" for line in part.limits_gone}
        | {f"{BACK}{row.number}" for row in (page.heat.logs if page.heat else ())}
    )


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
    elif before is None:
        problems = (*problems, *already_noted(site.wb, reading.given))

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
    drafted = drafted_trial(site.wb, reading.given, now=site.now())
    doubted = () if drafted.record is None else (asked_about(drafted.record, own), fields.uncounted(sent))
    problems, asked = drafted.problems, "; ".join(filter(None, doubted))
    if asked and typed(sent, "sure") != "yes":
        problems = (
            *problems,
            FieldProblem(field="sure", found=asked, todo="correct it, or say that it is so"),
        )

    def keep() -> tuple[Tuned, str]:
        return own, f"trial-{note_trial(site.wb, reading.given, now=site.now()).trial.id}"

    return saved(request, site, study, filled_form(TRIAL, reading, problems), typed(sent, "of"), keep)


def saved(
    request: Request, site: Site, study: str, form: Form, of: str, keep: Callable[[], tuple[Tuned, str]]
) -> Response:
    """Keeps what was sent and goes back to the page, or shows it with what is wrong at its fields.

    While it is being filled in it is only looked at.
    """
    form = replace(form, check=check_of(study, form.name))
    if only_looking(request):
        form = replace(form, start=NOWHERE)
    elif not form.errors:
        try:
            own, just = keep()
        except EvenhandError as refused:
            form = unsaved(form, refused)
        else:
            return RedirectResponse(f"{part_address(study, own, just=just)}#done", status_code=303)
    page = tuning_page(site.wb, study, Looked(of=of))
    return drawn(request, page, Editing(part=form.name, form=form))
