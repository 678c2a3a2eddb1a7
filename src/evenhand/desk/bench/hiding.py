"""Whether the names of builds are hidden until the plan is done, and what may not be seen until then."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from evenhand.desk.bench.bench_day import MASKED, WHOLE_PLAN, mask_plan
from evenhand.desk.bench.plan_on_record import plan_on_record
from evenhand.desk.bench.plan_standing import PlanNow, SlotNow, SlotState
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.errors import EvenhandError, NotFound
from evenhand.records.plans import BenchNote, Plan
from evenhand.records.runs import Run
from evenhand.store import plans as plan_store
from evenhand.store import runs as run_store
from evenhand.store.workbench import Workbench


class NamesHidden(EvenhandError):
    """What was asked for would tell a build by its results before the plan is done; `study` says of which."""

    def __init__(self, study: str, *, where: str) -> None:
        super().__init__(
            "the names of builds are hidden until the plan is done",
            where=where,
            todo="follow the plan to its end, judge runs without names by `evenhand runs STUDY --masked`, or "
            "show the names early on this study's bench page or by `evenhand show-names STUDY`",
        )
        self.study = study


def names_hidden(record: StudyOnRecord) -> bool:
    """Whether names are hidden now: somebody asked for it, and the plan is not done."""
    plan = plan_on_record(record)
    return plan is not None and not plan.finished and said_last(record, plan.plan)


def as_told(record: StudyOnRecord, standing: PlanNow) -> PlanNow:
    """A plan as it may be shown: while names are hidden, of made runs neither boots nor which ones wait."""
    if not names_hidden(record):
        return standing
    return replace(standing, slots=tuple(map(_untold, standing.slots)))


def _untold(each: SlotNow) -> SlotNow:
    if each.run is None or each.state.open:
        return each
    state = SlotState.DONE if each.state is SlotState.IN_DOUBT else each.state
    return replace(each, slot=replace(each.slot, boot=""), state=state)


def said_last(record: StudyOnRecord, plan: Plan) -> bool:
    """Whether the last word on the names under this plan was to hide them."""
    told = [note for note in masking_notes(record) if note.plan == plan.id]
    return bool(told and told[-1].value)


def masking_notes(record: StudyOnRecord) -> Iterator[BenchNote]:
    """Every word on hiding names or showing them, in the order in which they were said."""
    return (note for note in record.written if (note.slot, note.key) == (WHOLE_PLAN, MASKED))


def refuse_hidden(record: StudyOnRecord) -> None:
    """Raises NamesHidden while names are hidden."""
    if names_hidden(record):
        raise NamesHidden(record.study.key, where=record.study.title)


def refuse_hidden_study(wb: Workbench, study: str) -> None:
    """The same by a study's key. Raises NotFound where there is none."""
    refuse_hidden(load_study(wb, study))


def refuse_hidden_run(wb: Workbench, run: str) -> None:
    """The same for the study of a run by its name. A name nobody knows is refused where it is asked for."""
    try:
        named: tuple[Run, ...] = (run_store.run(wb, run),)
    except NotFound:
        named = tuple(run_store.labelled(wb, run))
    for each in named:
        refuse_hidden_study(wb, each.study)


def hide_names(wb: Workbench, plan: int, *, by: str, now: datetime) -> None:
    """Hides the names of builds until this plan is done. Raises NotFound."""
    mask_plan(wb, plan, masked=True, by=by, now=now)


def show_names(wb: Workbench, plan: int, *, by: str, now: datetime) -> None:
    """Shows names before this plan is done, which stays on record; does nothing where they show already."""
    record = load_study(wb, plan_store.plan(wb, plan).study)
    if names_hidden(record) and record.plan is not None and record.plan.id == plan:
        mask_plan(wb, plan, masked=False, by=by, now=now)


def show_names_of(wb: Workbench, study: str, *, by: str, now: datetime) -> bool:
    """The same by a study's key, under the plan that stands; whether they were hidden. Raises NotFound."""
    record = load_study(wb, study)
    hidden = names_hidden(record)
    if hidden and record.plan is not None:
        show_names(wb, record.plan.id, by=by, now=now)
    return hidden


def hide_under(wb: Workbench, record: StudyOnRecord, plan: Plan, *, now: datetime) -> Plan:
    """The new plan of a study, under which names stay hidden where they were hidden when it was made."""
    if plan.slots and names_hidden(record):
        mask_plan(wb, plan.id, masked=True, by="plan", now=now)
    return plan
