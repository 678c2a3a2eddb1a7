"""Temperature logs on the tuning page: brought, their columns confirmed, taken back."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Request
from fastapi.responses import RedirectResponse, Response
from starlette.datastructures import UploadFile

from evenhand.desk.pages.tuning import Looked, tuning_page
from evenhand.desk.pages.tuning_address import part_address, part_key
from evenhand.desk.pages.tuning_heat import look_at_named
from evenhand.desk.study.checking import FieldProblem
from evenhand.desk.tuning.heat_noting import drafted_heat, keep_log, note_heat, take_back_heat
from evenhand.errors import EvenhandError
from evenhand.records.trials import Tuned
from evenhand.web import heat_fields as fields
from evenhand.web.dropping import Form as Dropped
from evenhand.web.forms import Form, Reading, Sent, typed
from evenhand.web.hidden import study_in_sight
from evenhand.web.pages.brief import Editing, unsaved
from evenhand.web.pages.tuning import drawn, heat_file, of_study
from evenhand.web.served import Site
from evenhand.web.site import Here
from evenhand.web.study_fields import filled_form

router = APIRouter(
    include_in_schema=False, prefix="/studies/{study}/tuning/heat", dependencies=[Depends(study_in_sight)]
)

Number = Annotated[int, Path(ge=1, le=2**62)]


@router.post("/bring")
def bring(request: Request, site: Here, study: str, sent: Dropped) -> Response:
    """Keeps a file, or takes a run's sensor log; then its columns are asked about."""
    own, run = of_study(site, study, sent), typed(sent, "run")
    file = sent.get("log")
    try:
        if isinstance(file, UploadFile) and file.filename:
            named = {"file": keep_log(site.wb, file.file.read(), name=file.filename)}
        else:
            look_at_named(site.wb, own, log="", run=run)
            named = {"run": run}
    except EvenhandError as refused:
        form = filled_form(fields.BRING, Reading(given={}, typed={"run": run}), [_problem("log", refused)])
        return again(request, site, study, own, form)
    there = part_address(study, own, edit=fields.COLUMNS, **named)
    return RedirectResponse(f"{there}#{fields.COLUMNS}", status_code=303)


def _problem(field: str, refused: EvenhandError) -> FieldProblem:
    return FieldProblem(field=field, found=refused.found, todo=refused.todo)


@router.post("")
def save(request: Request, site: Here, study: str, sent: Sent) -> Response:
    """Notes a log, with what is said of its columns."""
    own = of_study(site, study, sent)
    reading = fields.read_heat(sent, own.setup, own.part)
    file = look_at_named(site.wb, own, log=typed(sent, "file"), run=typed(sent, "run"))
    form = filled_form(fields.COLUMNS, reading, drafted_heat(site.wb, reading.given, file).problems)
    if not form.errors:
        try:
            made = note_heat(site.wb, reading.given, file, now=site.now())
        except EvenhandError as refused:
            form = unsaved(form, refused)
        else:
            return done(study, own, f"{'known' if made.again else 'heat'}-{made.heat.id}", made.heat.id)
    return again(request, site, study, own, form, file=typed(sent, "file"), run=typed(sent, "run"))


@router.post("/{number}/take-back")
def take_back(request: Request, site: Here, study: str, number: Number, sent: Sent) -> Response:
    """A log counts no more, or the reason is asked for."""
    own, reason = of_study(site, study, sent), typed(sent, "reason")
    if reason:
        take_back_heat(site.wb, own.setup, own.part, number, reason, now=site.now())
        return done(study, own, f"cold-{number}")
    errors = {"reason": "It is not said why: say in a few words what was wrong with it."}
    form = Form(name="back", values={"reason": ""}, errors=errors, start="reason")
    return again(request, site, study, own, form, part=f"{fields.BACK}{number}")


def done(study: str, own: Tuned, just: str, log: int | None = None) -> Response:
    """Back to the page, which says what was done."""
    more = {} if log is None else {"log": log}
    return RedirectResponse(f"{part_address(study, own, just=just, **more)}#done", status_code=303)


def again(
    request: Request, site: Site, study: str, own: Tuned, form: Form, *, part: str = "", file: str = "",
    run: str = "",
) -> Response:  # fmt: skip
    """The page with a form that holds mistakes."""
    page = tuning_page(site.wb, study, Looked(of=part_key(own.setup, own.part)))
    query, edited = fields.HeatQuery(file=file, run=run), Editing(part=part or form.name, form=form)
    return drawn(request, page, edited, heat=query, file=heat_file(site, page, edited.part, query))
