"""The bench page: decide about what landed, note and photograph, file what came, see what is next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Depends, Request
from fastapi.responses import PlainTextResponse, RedirectResponse, Response
from starlette.datastructures import UploadFile

from evenhand.desk.bench.bench_day import Place, begin_warm_up, stop_warm_up
from evenhand.desk.bench.closed_slots import closed_words
from evenhand.desk.bench.hiding import hide_names, show_names
from evenhand.desk.bench.landing import Filing, arrive, land, land_score
from evenhand.desk.bench.making_runs import SlotFilled
from evenhand.desk.bench.photographing import photo, photograph
from evenhand.desk.bench.planning import note, plan_now, skip, unskip
from evenhand.desk.logs.file_turns import may_be_of, waiting_as
from evenhand.desk.on_record import load_study
from evenhand.desk.pages.bench import bench_page
from evenhand.desk.pages.frame import address
from evenhand.desk.pages.just_done import Just
from evenhand.desk.pages.one_run import named_run
from evenhand.desk.pages.running import busy_machines
from evenhand.desk.runs.asking import Asked, decide_as_asked, missing_words
from evenhand.desk.runs.run_readings import note_run
from evenhand.desk.runs.said import Said
from evenhand.desk.typed_numbers import decimal
from evenhand.errors import BadRecord, EvenhandError, Overtaken
from evenhand.web.forms import Sent, typed
from evenhand.web.pages.just import just_done
from evenhand.web.pages.taking_part import taking_part
from evenhand.web.pages.watch import coming_of
from evenhand.web.photo_answer import picture_answer
from evenhand.web.running import given_up, running_here, stopped, stopped_here
from evenhand.web.served import Site
from evenhand.web.showing import show
from evenhand.web.site import By, Here
from evenhand.web.trouble import status_of
from evenhand.web.watcher import Watcher

router = APIRouter(include_in_schema=False)

BENCH = "/studies/{study}/bench"


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One request about the bench of a study, and who asks."""

    request: Request
    site: Site
    study: str
    by: str


def visit_of(request: Request, site: Here, study: str, by: By) -> Visit:
    """The request."""
    return Visit(request=request, site=site, study=study, by=by)


Visiting = Annotated[Visit, Depends(visit_of)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrong:
    """What was asked and not done: where on the page it belongs, what is wrong, and what had been typed."""

    where: str
    found: str
    todo: str = ""
    value: str = ""
    verb: str = ""


@router.get(BENCH)
def bench(visit: Visiting, just: Annotated[Just, Depends(just_done)]) -> Response:
    """The bench as it stands now, after what was just done."""
    return page_of(visit, just=just)


@router.get(BENCH + "/running")
def running(visit: Visiting) -> Response:
    """The trials that run, by themselves: this part of the page asks for it every few seconds."""
    found = running_here(visit.request, visit.site, visit.study)
    return show(
        visit.request, "running.html", running=found, at=address(visit.study, "bench"), of="",
        stopped_lately=stopped_here(visit.site, visit.study),
    )  # fmt: skip


@router.post(BENCH + "/stop")
def stop(visit: Visiting, sent: Sent) -> Response:
    """Asks that a trial be ended."""
    there = address(visit.study, "bench")
    return stopped(visit.request, visit.site, visit.study, sent, by=visit.by, there=there)


@router.post(BENCH + "/give-up")
def give_up(visit: Visiting, sent: Sent) -> Response:
    """A trial of which no record will come is told as running no more."""
    return given_up(visit.request, visit.site, visit.study, sent, there=address(visit.study, "bench"))


@router.post(BENCH + "/decide")
def decide(visit: Visiting, sent: Sent) -> Response:
    """Keep, make again or set aside the run that landed."""
    run, verb, masked = typed(sent, "run"), typed(sent, "verb"), typed(sent, "masked") == "yes"
    asked = Asked(
        verb="set-aside" if verb == "redo" else verb,
        reason=typed(sent, "reason"),
        note=typed(sent, "note"),
        seen=typed(sent, "seen"),
        masked=masked,
        leave_slot_out=typed(sent, "leave_slot_out") == "yes",
        who=visit.by,
    )
    _, each = named_run(visit.site.wb, visit.study, run, masked=masked)
    missing = missing_words(each, asked)
    if missing:
        found = next(iter(missing.values()))
        wrong = Wrong(where=typed(sent, "at") or verb, found=found, value=asked.note, verb=verb)
        return page_of(visit, wrong=wrong, status=422)
    try:
        decide_as_asked(visit.site.wb, run, asked, now=visit.site.now())
    except EvenhandError as error:
        where = typed(sent, "at") or "landed"
        wrong = Wrong(where=where, found=error.found, todo=error.todo, value=asked.note, verb=verb)
        return page_of(visit, wrong=wrong, status=status_of(error))
    return back(visit, f"?done={run}")


@router.post(BENCH + "/undo")
def undo(visit: Visiting, sent: Sent) -> Response:
    """Takes the last decision about a run back, and with it that its slot was left out."""
    run, masked = typed(sent, "run"), typed(sent, "masked") == "yes"
    named_run(visit.site.wb, visit.study, run, masked=masked)
    asked = Asked(verb="reopen", masked=masked, who=visit.by)
    decide_as_asked(visit.site.wb, run, asked, now=visit.site.now())
    return back(visit, f"?undone={quote(run)}")


@router.post(BENCH + "/note")
def write(visit: Visiting, sent: Sent) -> Response:
    """Writes the room, the wall meter or a note beside a slot; what looks odd is said at once."""
    if typed(sent, "run"):
        return write_of_run(visit, sent)
    key, value = typed(sent, "key"), typed(sent, "value")
    place = place_of(visit, sent)
    try:
        noted = note(visit.site.wb, place.plan, place.slot, key, value, by=place.by, now=place.now)
    except BadRecord as error:
        wrong = Wrong(where=f"{key}-{place.slot}", found=error.found, todo=error.todo, value=value)
        return page_of(visit, wrong=wrong, status=422)
    if noted.doubt:
        wrong = Wrong(where=f"{key}-{place.slot}", found=noted.doubt, value=noted.note.value)
        return page_of(visit, wrong=wrong)
    return back(visit, f"?late={quote(key)}-{place.slot}" if noted.run else "")


def write_of_run(visit: Visit, sent: Sent) -> Response:
    """Notes the room or the wall meter for a run that has landed; afterwards where it was asked from."""
    run, key, value = typed(sent, "run"), typed(sent, "key"), typed(sent, "value")
    _, each = named_run(visit.site.wb, visit.study, run, masked=False)
    said = Said(now=visit.site.now(), by=visit.by)
    if typed(sent, "back") == "run":
        note_run(visit.site.wb, each.run.id, key, value, said=said)
        return RedirectResponse(address(visit.study, "runs", each.run.id), status_code=303)
    where = f"{key}-{run}"
    try:
        doubt = note_run(visit.site.wb, each.run.id, key, value, said=said)
    except BadRecord as error:
        wrong = Wrong(where=where, found=error.found, todo=error.todo, value=value)
        return page_of(visit, wrong=wrong, status=422)
    return page_of(visit, wrong=Wrong(where=where, found=doubt, value=value)) if doubt else back(visit)


@router.post(BENCH + "/warm-up")
def warm_up(visit: Visiting, sent: Sent) -> Response:
    """Begins the warm-up of a slot, or stops it."""
    do = stop_warm_up if typed(sent, "stop") else begin_warm_up
    place = place_of(visit, sent)
    do(visit.site.wb, place)
    return back(visit, card_of(place))


@router.post(BENCH + "/skip")
def leave_out(visit: Visiting, sent: Sent) -> Response:
    """Leaves a slot out, with the reason."""
    place, reason = place_of(visit, sent), typed(sent, "reason")
    found, todo = perhaps_made(visit, place) if reason and typed(sent, "although") != "yes" else ("", "")
    if found:
        wrong = Wrong(where=f"skip-{place.slot}", found=found, todo=todo, value=reason, verb="although")
        return page_of(visit, wrong=wrong, status=409)
    try:
        skip(visit.site.wb, place.plan, place.slot, reason, by=place.by, now=place.now)
    except BadRecord as error:
        wrong = Wrong(where=f"skip-{place.slot}", found=error.found, todo=error.todo)
        return page_of(visit, wrong=wrong, status=422)
    except Overtaken as error:
        wrong = Wrong(where="next", found=error.found, todo=error.todo, value=reason)
        return page_of(visit, wrong=wrong, status=status_of(error))
    return back(visit, f"?skipped={place.slot}")


ON_ITS_WAY = "A file is on its way that may be the log of this run. Nothing is skipped yet"
FILE = "say in the inbox which run it is, or skip this run all the same: the file stays in the inbox"
WAIT = "wait until it has landed, or skip this run all the same: the file then waits in the inbox"


def perhaps_made(visit: Visit, place: Place) -> tuple[str, str]:
    """What speaks for the run of a slot having been made, and what to do then; nothing where nothing does."""
    if is_on_its_way(visit, place):
        return ON_ITS_WAY, WAIT
    name = waiting_as(visit.site.wb, place.plan, place.slot)
    if not name:
        return "", ""
    return f"{name} waits in the inbox and may be the log of this run. Nothing is skipped yet", FILE


def is_on_its_way(visit: Visit, place: Place) -> bool:
    """Whether a file in a watched folder may be the log of the run of this slot."""
    watcher: Watcher = visit.request.app.state.watcher
    plan = plan_now(visit.site.wb, visit.study)
    slot = plan.now(place.slot) if plan and plan.plan.id == place.plan else None
    if slot is None or not slot.state.open:
        return False
    paths = {each.watch: (*each.writing, *each.behind) for each in watcher.folders()}
    return may_be_of(visit.site.wb, paths, study=visit.study, setup=slot.slot.setup, now=place.now)


@router.get(BENCH + "/closed")
def closed(visit: Visiting, plan: int, slot: int) -> Response:
    """Why a slot is not to be run any more, in words; no words where it is."""
    words = closed_words(load_study(visit.site.wb, visit.study), plan, slot)
    return PlainTextResponse(words, headers={"Cache-Control": "no-store"})


@router.post(BENCH + "/unskip")
def take_up(visit: Visiting, sent: Sent) -> Response:
    """Takes a slot up again that was left out."""
    place = place_of(visit, sent)
    unskip(visit.site.wb, place.plan, place.slot, by=place.by, now=place.now)
    return back(visit, f"?taken_up={place.slot}")


@router.post(BENCH + "/mask")
def mask(visit: Visiting, sent: Sent) -> Response:
    """Hides the names of builds until the plan is done, or shows them early, which is told from then on."""
    say = hide_names if typed(sent, "masked") == "yes" else show_names
    say(visit.site.wb, number(sent, "plan"), by=visit.by, now=visit.site.now())
    return back(visit, "#names" if typed(sent, "at") == "names" else "")


@router.post(BENCH + "/photo")
def take_photo(visit: Visiting, sent: Sent) -> Response:
    """Keeps a photo of a slot."""
    place, file = place_of(visit, sent), sent.get("photo")
    if isinstance(file, str) or file is None or not file.size:
        wrong = Wrong(where=f"photo-{place.slot}", found="No photo was chosen.")
        return page_of(visit, wrong=wrong, status=422)
    try:
        photograph(visit.site.wb, place, file.file.read(), name=file.filename or "photo")
    except BadRecord as error:
        wrong = Wrong(where=f"photo-{place.slot}", found=error.found, todo=error.todo)
        return page_of(visit, wrong=wrong, status=422)
    return back(visit, card_of(place))


@router.get("/photos/{photo_id}")
def show_photo(request: Request, site: Here, photo_id: int) -> Response:
    """A photo without what its camera noted."""
    found = photo(site.wb, photo_id)
    return picture_answer(request, found.media, found.data, mark=found.mark)


@router.post(BENCH + "/file")
def file_run(visit: Visiting, sent: Sent) -> Response:
    """Files what came of a slot by hand: its log, or its score."""
    place = place_of(visit, sent)
    wb, now = visit.site.wb, visit.site.now()
    plan = plan_now(wb, visit.study)
    slot = plan.now(place.slot) if plan else None
    if slot is None:
        wrong = Wrong(where="landed", found="This slot is not in the plan any more.", todo="see what is next")
        return page_of(visit, wrong=wrong, status=409)
    filing = Filing(
        study=visit.study, test=slot.slot.test, setup=slot.slot.setup, plan=place.plan, slot=place.slot,
        score=decimal(typed(sent, "score")),
    )  # fmt: skip
    log = sent.get("log")
    name = (log.filename or "log") if isinstance(log, UploadFile) and log.size else ""
    try:
        if isinstance(log, UploadFile) and name:
            came = arrive(wb, log.file.read(), name=name, by=visit.by, about={}, now=now)
            land(wb, came, filing, by=visit.by, now=now)
        else:
            land_score(wb, filing, by=visit.by, now=now)
    except EvenhandError as error:
        there = "landed" if isinstance(error, SlotFilled) else f"file-{place.slot}"
        found = f"{name}: {error.found}" if name else error.found
        wrong = Wrong(where=there, found=found, todo=error.todo, value=typed(sent, "score"))
        return page_of(visit, wrong=wrong, status=status_of(error))
    return back(visit)


def page_of(
    visit: Visit, *, wrong: Wrong | None = None, status: int = 200, just: Just | None = None
) -> Response:
    """The page, with what was not done where it belongs; `just` says what was done a moment ago."""
    page = bench_page(visit.site.wb, visit.study, now=visit.site.now(), just=just)
    record = load_study(visit.site.wb, visit.study)
    trials = running_here(visit.request, visit.site, visit.study)
    told = {
        "running": trials,
        "stopped_lately": stopped_here(visit.site, visit.study),
        "busy": busy_machines(record, trials),
        "page": page,
        "wrong": wrong,
        "at": wrong.where if wrong else "",
        "rigs": taking_part(visit.request, visit.site, visit.study, page.open, trials),
        "late": just.late if just else "",
        **coming_of(visit.request, visit.site, visit.study),
    }
    return show(visit.request, "bench.html", status=status, **told)


def card_of(place: Place) -> str:
    """The part of the page where the run of a slot stands, as an address ends: who reads on begins there."""
    return f"#next-{place.plan}-{place.slot}"


def back(visit: Visit, ending: str = "") -> Response:
    """The bench again, as an address of its own."""
    return RedirectResponse(f"{address(visit.study, 'bench')}{ending}", status_code=303)


def place_of(visit: Visit, sent: Sent) -> Place:
    """The slot that a form is about."""
    return Place(plan=number(sent, "plan"), slot=number(sent, "slot"), by=visit.by, now=visit.site.now())


def number(sent: Sent, name: str) -> int:
    """A whole number that a page sent. Raises BadRecord where it is none."""
    text = typed(sent, name)
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        raise BadRecord(f"'{text[:20]}' is no {name}", where="the form", todo="reload the page")
    return int(text)
