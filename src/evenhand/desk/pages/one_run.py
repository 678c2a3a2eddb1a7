"""One run: what was measured, what was found in it, what was decided, and its files as they came."""

from __future__ import annotations

from dataclasses import dataclass, replace

from evenhand.desk.bench.hiding import refuse_hidden
from evenhand.desk.bench.masking import find_masked, mask_of
from evenhand.desk.bench.rig_clock import clock_doubt
from evenhand.desk.bench.slot_photos import photos_of_run
from evenhand.desk.logs.same_file import same_file_words
from evenhand.desk.names import metric_label
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord, load_study
from evenhand.desk.pages.frame import Frame, address, frame_of
from evenhand.desk.pages.run_behind import Behind, behind_of
from evenhand.desk.pages.run_cards import RunCard, card_of
from evenhand.desk.pages.run_open import Open, open_of
from evenhand.desk.pages.undo import Done, done_of
from evenhand.desk.pages.wanted_runs import Refused, Wanted
from evenhand.desk.runs.deciding import find_run
from evenhand.desk.runs.drawings import Drawings, chief_fault
from evenhand.desk.study.moments import Clock, clock_words
from evenhand.errors import NotFound
from evenhand.publish.numbers import run_words
from evenhand.records.runs import RunState
from evenhand.store.arrivals import moments_filed
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class RunPage:
    """Everything the page shows.

    `open` is what would tell whose run it is, None while names are hidden; `behind` is what takes a moment to
    work out, None where it is still to be asked for at `whole`. `clock` says by which clock times are told;
    `photos` are those taken beside its slot, `elsewhere` says where its file is on record as another run;
    `rig_clock` why the clock of its rig cannot be right.
    """

    frame: Frame
    card: RunCard
    answer: str
    masked: bool
    here: str
    live: str
    whole: str
    list: str
    clock: str = ""
    open: Open | None = None
    photos: tuple[int, ...] = ()
    elsewhere: str = ""
    rig_clock: str = ""
    behind: Behind | None = None
    done: Done | None = None
    refused: Refused | None = None


def named_run(wb: Workbench, study: str, name: str, *, masked: bool) -> tuple[StudyOnRecord, RunOnRecord]:
    """A run of a study under its id, or its masked id. Raises NotFound where the study has none such.

    Raises NamesHidden for an id while names are hidden.
    """
    record = load_study(wb, study)
    if not masked:
        refuse_hidden(record)
    each = next((one for one in record.runs if one.run.id == name), None) if not masked else None
    if each is None:
        found = find_masked(wb, name) if masked else find_run(wb, name)
        each = next((one for one in record.runs if one.run.id == found.run.id), None)
    if each is None:
        raise NotFound(
            f"no run of this study goes by '{name}'", where=record.study.title, todo="go back to its runs"
        )
    return record, each


def run_page(
    drawings: Drawings, place: tuple[str, str], wanted: Wanted, *, whole: bool, clock: Clock
) -> RunPage:
    """One run by study and name; with `whole` also what takes a moment. Raises NotFound as `named_run`."""
    record, each = named_run(drawings.wb, *place, masked=wanted.masked)
    mask = record.once("mask", mask_of) if wanted.masked else None
    card = card_of(record, each, mask=mask, clock=clock)
    hidden = "?masked=1" if wanted.masked else ""
    page = RunPage(
        frame=frame_of(record, "runs"),
        card=card,
        answer=answer_of(record, each, card.label, told=mask is None),
        masked=wanted.masked,
        here=card.address + hidden,
        live=card.address + Wanted(masked=wanted.masked, done=wanted.done, also=wanted.also).query(done=True),
        whole=card.address + (f"{hidden}&whole=1" if hidden else "?whole=1"),
        list=address(record.study.key, "runs") + hidden,
        open=open_of(record, each, clock) if mask is None else None,
        photos=photos_of_run(drawings.wb, record, each.run.id) if mask is None else (),
        elsewhere=same_file_words(drawings.wb, record, each.run.id, masked=mask is not None),
        rig_clock=clock_doubt(record, each, moments_filed(drawings.wb, record.study.key)),
        done=done_of(record, wanted.done, also=wanted.also, mask=mask),
        clock=clock_of(each, clock) if mask is None else "",
    )
    return replace(page, behind=behind_of(drawings, record, each, clock=clock, mask=mask)) if whole else page


def clock_of(each: RunOnRecord, clock: Clock) -> str:
    """By which clock its start and the decisions about it are told."""
    decided = each.decision.at if each.decision else None
    return clock_words(filter(None, (each.run.started_at, decided)), clock)


def answer_of(record: StudyOnRecord, each: RunOnRecord, label: str, *, told: bool) -> str:
    """What the page opens with: its number, where that may be `told`, and where it stands."""
    test = record.tests[each.run.test]
    value = each.headline(test) if told else None
    number = "" if value is None else f" {run_words(value, test.unit)}, {metric_label(test.metric)}."
    return f"{label}:{number} {standing_of(each)}" if number else f"{label}. {standing_of(each)}"


def standing_of(each: RunOnRecord) -> str:
    """Where a run stands, as a sentence.

    >>> from evenhand.desk.on_record import NO_METRICS
    >>> from evenhand.records.runs import Run
    >>> run = Run(id="3f9a", study="s", test="t", setup="a", label="take 1")
    >>> standing_of(RunOnRecord(run=run, metrics=NO_METRICS, faults=(), decision=None, state=RunState.LANDED))
    'It counts; nothing was found in it.'
    """
    chief = chief_fault(each)
    what = f"{chief.title[:1].lower()}{chief.title[1:]}" if chief else "nothing was found in it"
    return {
        RunState.LANDED: f"It counts; {f'only noted: {what}' if chief else what}.",
        RunState.IN_DOUBT: f"It waits for you: {what}.",
        RunState.KEPT: f"It was kept and counts; {f'on show is: {what}' if chief else what}.",
        RunState.SET_ASIDE: "It is set aside and does not count.",
        RunState.REPLACED: "Another run stands in for it.",
    }[each.state]
