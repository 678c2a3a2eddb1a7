"""The builds of a study: read first, changed in place one build, setup or part at a time."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from starlette.datastructures import FormData

from evenhand.desk.on_record import load_study
from evenhand.desk.pages.builds import builds_page
from evenhand.desk.pages.fit import fit_shown
from evenhand.desk.pages.frame import address
from evenhand.desk.pages.offers import offers_of
from evenhand.desk.pages.worth import worth_of
from evenhand.desk.parts.catalogue import EVERY_KIND
from evenhand.desk.study.building import (
    KINDS,
    SLOTS,
    add_build,
    add_setup,
    change_build,
    change_part,
    change_setup,
    drafted_build,
    drafted_setup,
    drop_setup,
    free_slots,
    redrafted_build,
    redrafted_part,
    redrafted_setup,
    take_setup,
)
from evenhand.desk.study.checking import FieldProblem
from evenhand.desk.study.on_shelf import build_called, every_part, part_called, setup_called
from evenhand.desk.study.shelving import Kept, version_of
from evenhand.errors import EvenhandError, NotFound
from evenhand.web import build_fields as fields
from evenhand.web import offer_fields, worth_fields
from evenhand.web.answers import Asked, View, back_to, by_htmx, only_looking
from evenhand.web.closed_study import edit_of
from evenhand.web.forms import NOWHERE, Form, Reading, Sent, typed
from evenhand.web.pages.brief import PLAINLY, seen_in, unsaved
from evenhand.web.pages.worth import told
from evenhand.web.power_fields import power_field, power_form
from evenhand.web.served import Site
from evenhand.web.showing import show
from evenhand.web.site import Here
from evenhand.web.study_fields import filled_form

router = APIRouter(prefix="/studies/{study}/builds", include_in_schema=False)

NEW = "new-build"


@dataclass(frozen=True, slots=True, kw_only=True)
class Editing:
    """Which part of the page is a form: `kind` of record and its `key`; for a new setup that of its build.

    `part` is both in one word, as the address has it. `seen` is the number of the record's last change.
    """

    part: str = ""
    kind: str = ""
    key: str = ""
    form: Form = field(default_factory=lambda: Form(name=""))
    free: tuple[int, ...] = ()
    seen: int = 0


def part_of(part: str) -> tuple[str, str]:
    """The kind of record that a part of the page is of, and the key.

    >>> part_of("setup-wren-stock"), part_of("new-setup-wren"), part_of("new-build")
    (('setup', 'wren-stock'), ('new-setup', 'wren'), ('new-build', ''))
    """
    if part == NEW:
        return NEW, ""
    kinds = ("new-setup", "build", "setup", "part", *worth_fields.KINDS, *offer_fields.KINDS)
    kind = next((kind for kind in kinds if part.startswith(f"{kind}-")), "")
    return kind, part.removeprefix(f"{kind}-") if kind else ""


@router.get("")
def builds(request: Request, site: Here, study: str, view: View, worth: str = "") -> HTMLResponse:
    """The page, with one part of it as a form where that is asked for.

    `worth` names a price or a reading that was just said or taken back.
    """
    edited = editing(site, study, edit_of(site, study, view))
    return drawn(request, site, study, edited, view=view, just=worth)


def drawn(
    request: Request, site: Site, study: str, edited: Editing, *, view: Asked = PLAINLY, just: str = "",
    power: Form | None = None,
) -> HTMLResponse:  # fmt: skip
    """The page; one that holds mistakes says so to those who asked without htmx.

    `power` is the form of what is assumed of power as it was sent.
    """
    power = power or power_form(site, study)
    status = 422 if (edited.form.errors or power.errors) and not by_htmx(request) else 200
    about = {
        "page": builds_page(site.wb, study, done=view.done),
        "worth": worth_of(site.wb, study, today=worth_fields.today_at(site), just=just),
        "fit": fit_shown(site.wb, study),
        "power": power,
        "power_field": power_field,
        "just": just,
        "edited": edited,
        "offers": offers_of(site.wb, load_study(site.wb, study), opened=opened(edited)),
        "sellers": offer_fields.SELLERS,
        "again": bool(view.again),
        "kinds": KINDS,
        "every_kind": EVERY_KIND,
        "slots": SLOTS,
    }
    return show(request, "builds.html", status=status, **about)


def opened(edited: Editing) -> str:
    """The part whose offers are shown; "" for none."""
    return edited.key if edited.kind == offer_fields.OFFER else ""


def editing(site: Site, study: str, part: str) -> Editing:
    """A part as a form, filled with what is on record. An unknown part is none."""
    kind, key = part_of(part)
    if not kind:
        return Editing()
    free = free_slots(site.wb, study, of=key if kind == "build" else "")
    values, seen = VALUES[kind](site, key, free) if kind in VALUES else (of_offers(site, study, kind, key), 0)
    form = Form(name=kind, values=values, check=f"{address(study, 'builds')}/{part}?check=1")
    return Editing(part=part, kind=kind, key=key, form=form, free=free, seen=seen)


def of_offers(site: Site, study: str, kind: str, key: str) -> fields.Values:
    """What stands in a new offer of a part, or in a new rate. Raises NotFound."""
    if kind == offer_fields.RATE:
        return offer_fields.new_rate(site, study)
    part_called(site.wb, key)
    return offer_fields.new_offer(site, study)


def _of_build(site: Site, key: str, _free: tuple[int, ...]) -> tuple[fields.Values, int]:
    build = build_called(site.wb, key)
    parts = {part.key: part for part in every_part(site.wb)}
    return fields.build_values(build, parts), version_of(site.wb, build)


def _of_setup(site: Site, key: str, _free: tuple[int, ...]) -> tuple[fields.Values, int]:
    setup = setup_called(site.wb, key)
    return fields.setup_values(setup, build_called(site.wb, setup.build)), version_of(site.wb, setup)


def _of_part(site: Site, key: str, _free: tuple[int, ...]) -> tuple[fields.Values, int]:
    part = part_called(site.wb, key)
    return fields.part_values(part), version_of(site.wb, part)


VALUES: Mapping[str, Callable[[Site, str, tuple[int, ...]], tuple[fields.Values, int]]] = {
    NEW: lambda _site, _key, free: (fields.new_build_values(free), 0),
    "new-setup": lambda _site, _key, _free: ({"state": "stock", **fields.stamp_values({})}, 0),
    "build": _of_build,
    "setup": _of_setup,
    "part": _of_part,
    "price": lambda site, _key, _free: (worth_fields.new_price(site), 0),
    "sound": lambda _site, _key, _free: (worth_fields.new_reading(), 0),
}


@router.post("/setups/{setup}/drop")
def drop(site: Here, study: str, setup: str) -> Response:
    """Takes a setup out of the study."""
    return after(study, drop_setup(site.wb, study, setup, now=site.now()))


@router.post("/setups/take")
def take(site: Here, study: str, sent: Sent) -> Response:
    """Takes a setup that is on the workbench already into the study."""
    return after(study, take_setup(site.wb, study, typed(sent, "setup"), now=site.now()))


@router.post("/{part}")
def save(request: Request, site: Here, study: str, part: str, sent: Sent) -> Response:
    """Saves a part, or only looks at it while it is being filled in."""
    edited = editing(site, study, part)
    if not edited.kind:
        raise NotFound(f"this page has no part '{part}'", todo="go back to the builds")
    reading, problems = looked_at(site, study, edited, sent)
    form = filled_form(edited.kind, reading, problems, check=edited.form.check)
    check = only_looking(request)
    edited = replace(edited, form=replace(form, start=NOWHERE) if check else form)
    if not (check or form.errors):
        try:
            if edited.kind in offer_fields.KINDS:
                just = offer_fields.saved(site, study, edited.kind, reading.given)
                return told(study, just, edit=part if edited.kind == offer_fields.OFFER else "")
            if edited.kind in worth_fields.KINDS:
                return told(study, worth_fields.saved(site, study, edited.kind, reading))
            return after(study, saved(site, study, edited, sent, reading))
        except EvenhandError as refused:
            edited = replace(edited, form=unsaved(form, refused))
    return drawn(request, site, study, edited)


def looked_at(
    site: Site, study: str, edited: Editing, sent: FormData
) -> tuple[Reading, tuple[FieldProblem, ...]]:
    """What was sent, and what is wrong with it."""
    wb, key = site.wb, edited.key
    if edited.kind in offer_fields.KINDS:
        found = offer_fields.looked_at(site, study, edited.kind, key, sent)
        return found.reading, found.problems
    if edited.kind in worth_fields.KINDS:
        reading, problems = worth_fields.looked_at(site, study, edited.kind, key, sent)
        return reading, worth_fields.at_fields(reading, problems)
    if edited.kind == "part":
        reading = fields.read_part(sent)
        return reading, redrafted_part(part_called(wb, key), reading.given).problems
    if edited.kind == "setup":
        reading = fields.read_setup(sent)
        return reading, redrafted_setup(wb, setup_called(wb, key), without_build(reading)).problems
    if edited.kind == "new-setup":
        reading = fields.read_setup(sent)
        return reading, drafted_setup(wb, {**reading.given, "build": key}).problems
    reading = fields.read_build(sent)
    if edited.kind == "build":
        return reading, redrafted_build(wb, build_called(wb, key), reading.given).problems
    first = fields.read_first_setup(sent)
    reading = replace(reading, errors={**reading.errors, **first.errors})
    problems = drafted_build(wb, study, reading.given).problems
    # The setup's build is not there yet; everything else about it can be looked at.
    of_setup = (p for p in drafted_setup(wb, first.given).problems if p.field != "build")
    return reading, (*problems, *of_setup)


def without_build(reading: Reading) -> dict[str, object]:
    """A setup stays with its build."""
    return {name: value for name, value in reading.given.items() if name != "build"}


def saved(site: Site, study: str, edited: Editing, sent: FormData, reading: Reading) -> Kept:
    """The change, on record."""
    wb, key, now, seen = site.wb, edited.key, site.now(), seen_in(sent)
    if edited.kind == NEW:
        return add_build(wb, study, reading.given, setup=fields.read_first_setup(sent).given, now=now)
    if edited.kind == "new-setup":
        return add_setup(wb, study, {**reading.given, "build": key}, now=now)
    if edited.kind == "build":
        return change_build(wb, key, reading.given, now=now, seen=seen)
    if edited.kind == "setup":
        return change_setup(wb, key, without_build(reading), now=now, seen=seen)
    return change_part(wb, key, reading.given, now=now, seen=seen)


def after(study: str, kept: Kept) -> Response:
    """Back to the page, which tells what was done."""
    return back_to(address(study, "builds"), done=kept.change)
