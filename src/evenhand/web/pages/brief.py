"""The brief of a study: read first, changed in place one part at a time."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from starlette.datastructures import FormData

from evenhand.desk.pages.brief import brief_page, metric_choices
from evenhand.desk.pages.for_whom import for_whom
from evenhand.desk.pages.frame import address
from evenhand.desk.study.briefing import (
    add_test,
    change_study,
    change_test,
    drafted_test,
    drop_test,
    move_test,
    redrafted_study,
    redrafted_test,
    take_test,
)
from evenhand.desk.study.checking import FieldProblem
from evenhand.desk.study.for_whom import as_given, drafted_audience, put_audience
from evenhand.desk.study.on_shelf import study_called, test_called
from evenhand.desk.study.shelving import Kept
from evenhand.errors import EvenhandError
from evenhand.web import audience_fields
from evenhand.web.answers import Asked, View, back_to, by_htmx, only_looking
from evenhand.web.closed_study import edit_of
from evenhand.web.forms import NOWHERE, Form, Reading, Sent, typed
from evenhand.web.pattern_trial import tried
from evenhand.web.served import Site
from evenhand.web.showing import show
from evenhand.web.site import Here
from evenhand.web.study_fields import (
    NEW_TEST,
    filled_form,
    read_currency,
    read_question,
    read_terms,
    read_test,
    read_weights,
    study_values,
    test_values,
)

router = APIRouter(prefix="/studies/{study}/brief", include_in_schema=False)

PARTS: Mapping[str, Callable[[FormData], Reading]] = {
    "question": read_question,
    "terms": read_terms,
    "weights": read_weights,
    "currency": read_currency,
}
SAMPLE = "script_sample"  # output on which the pattern of the score is tried; it is not kept
NEW, NEW_AUDIENCE, AUDIENCE = "new-test", "new-audience", "audience-"


@dataclass(frozen=True, slots=True, kw_only=True)
class Editing:
    """Which part of the page is a form: one of PARTS, NEW, NEW_AUDIENCE, "test-KEY", "audience-KEY".

    "" is for none.
    """

    part: str
    form: Form


PLAINLY = Asked()
READING = Editing(part="", form=Form(name=""))


@router.get("")
def brief(request: Request, site: Here, study: str, view: View) -> HTMLResponse:
    """The page, with one part of it as a form where that is asked for."""
    return shown(request, site, study, editing(site, study, edit_of(site, study, view)), view=view)


def shown(
    request: Request, site: Site, study: str, edited: Editing, *, view: Asked = PLAINLY
) -> HTMLResponse:
    """The page; one that holds mistakes says so to those who asked without htmx."""
    page, whom = brief_page(site.wb, study, done=view.done), for_whom(site.wb, study)
    status = 422 if edited.form.errors and not by_htmx(request) else 200
    return show(
        request,
        "brief.html",
        status=status,
        page=page,
        whom=whom,
        shares=audience_fields.shares_in(edited.form.values, (*whom.tests, *whom.properties)),
        field_of=audience_fields.field_of,
        edited=edited,
        metrics=metric_choices(),
        again=view.again,
    )


def editing(site: Site, study: str, part: str) -> Editing:
    """A part as a form, filled with what is on record. An unknown part is none."""
    check = f"{address(study, 'brief')}/{part}?check=1"
    if part in PARTS:
        values = study_values(study_called(site.wb, study))
        return Editing(part=part, form=Form(name=part, values=values, check=check))
    if part == NEW:
        return Editing(part=part, form=Form(name="test", values=NEW_TEST, check=check))
    if part == NEW_AUDIENCE:
        return Editing(part=part, form=Form(name="audience", values=audience_fields.NEW, check=check))
    if part.startswith(AUDIENCE):
        given = as_given(study_called(site.wb, study), part.removeprefix(AUDIENCE))
        values = audience_fields.audience_values(given)
        return Editing(part=part, form=Form(name="audience", values=values, check=check))
    if part.startswith("test-"):
        values = test_values(test_called(site.wb, part.removeprefix("test-")))
        return Editing(part=part, form=Form(name="test", values=values, check=check))
    return READING


@router.post("/tests/{test}/drop")
def drop(site: Here, study: str, test: str) -> Response:
    """Takes a test out of the study."""
    return after(study, drop_test(site.wb, study, test, now=site.now()))


@router.post("/tests/{test}/move")
def move(site: Here, study: str, test: str, sent: Sent) -> Response:
    """Moves a test one place up or down; where it stands at that end already, nothing changes."""
    by = -1 if typed(sent, "way") == "up" else 1
    return after(study, move_test(site.wb, study, test, by=by, now=site.now()))


@router.post("/tests/take")
def take(site: Here, study: str, sent: Sent) -> Response:
    """Takes a test that is on the workbench already into the study."""
    return after(study, take_test(site.wb, study, typed(sent, "test"), now=site.now()))


@router.post("/{part}")
def save(request: Request, site: Here, study: str, part: str, sent: Sent) -> Response:
    """Saves a part, or only looks at it while it is being filled in."""
    reading, problems = looked_at(site, study, part, sent)
    form = filled_form(
        form_name(part),
        reading,
        problems,
        check=f"{address(study, 'brief')}/{part}?check=1",
    )
    if only_looking(request) or form.errors:
        form = tried_out(request, form, sent) if only_looking(request) else form
        return shown(request, site, study, Editing(part=part, form=form))
    try:
        kept = saved(site, study, part, reading, seen=seen_in(sent))
    except EvenhandError as refused:
        return shown(request, site, study, Editing(part=part, form=unsaved(form, refused)))
    return after(study, kept)


def tried_out(request: Request, form: Form, sent: FormData) -> Form:
    """A form that is only looked at; where asked for, with what its pattern takes from the output pasted."""
    output = sent.get(SAMPLE, "") if "tried" in request.query_params else ""
    if not isinstance(output, str) or not output.strip():
        return replace(form, start=NOWHERE)
    told = tried(typed(sent, "script_score"), output)
    start = NOWHERE if by_htmx(request) else SAMPLE
    return replace(form, start=start, read={**form.read, SAMPLE: told})


def form_name(part: str) -> str:
    """What the ids of a part's form begin with."""
    return part if part in PARTS else "audience" if audience_key(part) != "" else "test"


def audience_key(part: str) -> str | None:
    """The key of the audience that a part is of; None for a new one, "" for none."""
    return None if part == NEW_AUDIENCE else part.removeprefix(AUDIENCE) if part.startswith(AUDIENCE) else ""


def looked_at(site: Site, study: str, part: str, sent: FormData) -> tuple[Reading, tuple[FieldProblem, ...]]:
    """What was sent, and what is wrong with it."""
    if part in PARTS:
        reading = PARTS[part](sent)
        return reading, redrafted_study(site.wb, study_called(site.wb, study), reading.given).problems
    if (key := audience_key(part)) != "":
        whom = for_whom(site.wb, study)
        weighed = (*whom.tests, *whom.properties)
        reading = audience_fields.read_audience(sent, weighed)
        problems = drafted_audience(site.wb, study_called(site.wb, study), key, reading.given).problems
        return reading, audience_fields.at_fields(problems, weighed)
    reading = read_test(sent)
    if part == NEW:
        return reading, drafted_test(site.wb, reading.given).problems
    before = test_called(site.wb, part.removeprefix("test-"))
    return reading, redrafted_test(site.wb, before, reading.given).problems


def saved(site: Site, study: str, part: str, reading: Reading, *, seen: int | None) -> Kept:
    """The change, on record."""
    if part in PARTS:
        return change_study(site.wb, study, reading.given, now=site.now(), seen=seen)
    if (audience := audience_key(part)) != "":
        return put_audience(site.wb, study, audience, reading.given, now=site.now(), seen=seen)
    if part == NEW:
        return add_test(site.wb, study, reading.given, now=site.now())
    key = part.removeprefix("test-")
    return change_test(site.wb, key, reading.given, now=site.now(), seen=seen)


def seen_in(sent: FormData) -> int | None:
    """The number of the change that the form's writer saw."""
    number = typed(sent, "seen")
    return int(number) if number.isascii() and number.isdigit() else None


def unsaved(form: Form, refused: EvenhandError) -> Form:
    """The form as it was sent, with why it could not be saved over it."""
    todo = f": {refused.todo}" if refused.todo else ""
    said = f"{refused.found[:1].upper()}{refused.found[1:]}{todo}."
    return Form(name=form.name, values=form.values, errors={"": said}, read=form.read, check=form.check)


def after(study: str, kept: Kept) -> Response:
    """Back to the page, which tells what was done."""
    return back_to(address(study, "brief"), done=kept.change)
