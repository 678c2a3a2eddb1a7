"""Whether a run may be filed as somebody says, what it is called, and what a slot of the plan says of it."""

from __future__ import annotations

import math

from evenhand.errors import BadRecord, NotFound, nearest
from evenhand.folders.problems import Problem
from evenhand.folders.study_file import RunTable
from evenhand.folders.study_folder import RunEntry
from evenhand.folders.wording import checked
from evenhand.records.builds import Build, Setup
from evenhand.records.plans import BenchNote, Slot
from evenhand.records.runs import RunState
from evenhand.records.studies import Study
from evenhand.records.tests import Measures, Test
from evenhand.store import arrivals, decisions, plans, shelves
from evenhand.store import runs as run_store
from evenhand.store.workbench import Workbench

CHECKED = (
    "test",
    "setup",
    "label",
    "boot",
    "order",
    "started_at",
    "duration_s",
    "ambient_c",
    "wall_w",
    "score",
)
NOTED = ("ambient_c", "wall_w")
OUT = (RunState.SET_ASIDE, RunState.REPLACED)


def sound(wb: Workbench, study: str, entry: RunEntry) -> Test:
    """The test of a run that may be filed so.

    Raises BadRecord where the study, its test or its setup is not on record, where a fact is out of bounds,
    or where the test needs a log and a score is given.
    """
    try:
        found = shelves.one(wb, Study, study)
    except NotFound as missing:
        raise BadRecord(missing.found, where=entry.label, todo=missing.todo) from missing
    for kind, name, known in (("test", entry.test, found.tests), ("setup", entry.setup, found.setups)):
        if name not in known:
            todo = nearest(name, known) if known else f"add a {kind} to the study first"
            raise BadRecord(f"'{name}' is not a {kind} of the study '{study}'", where=entry.label, todo=todo)
    _check_facts(entry)
    test = shelves.one(wb, Test, entry.test)
    if test.measures is Measures.FRAMES and entry.score is not None:
        said = f"the test '{test.key}' measures frames and needs a log, not a score"
        raise BadRecord(said, where=entry.label, todo="file the log, or correct what the test measures")
    return test


def _check_facts(entry: RunEntry) -> None:
    """Holds the facts to what a study file may say, so that an export can always be imported."""
    given = {key: getattr(entry, key) for key in CHECKED if getattr(entry, key) not in (None, "")}
    problems: list[Problem] = []
    checked(RunTable, {**given, "stamps": dict(entry.stamps)}, (), problems)
    if problems:
        todo = next((problem.todo for problem in problems if problem.todo), "correct it")
        raise BadRecord("; ".join(p.found for p in problems), where=entry.label, todo=todo)


def label_for(wb: Workbench, study: str, entry: RunEntry) -> str:
    """What the run is called: as was said, or by names and its place in its cell, as the bench calls it.

    Every sentence about it says this; it is never another run's of the study. Ask in the transaction that
    stores the run.
    """
    taken = run_store.labels_of(wb, study)
    labels = {label for _, _, label in taken}
    names = f"{_setup_called(wb, study, entry.setup)}, {shelves.one(wb, Test, entry.test).name}"
    wanted = entry.label.strip()
    if wanted and wanted not in labels:
        return wanted
    number = 2 if wanted else 1 + sum((test, setup) == (entry.test, entry.setup) for test, setup, _ in taken)
    while True:
        label = f"{wanted} ({number})" if wanted else f"{names}, run {number}"
        if label not in labels:
            return label
        number += 1


def _setup_called(wb: Workbench, study: str, key: str) -> str:
    """A setup as its study's pages call it: by its build where each setup is a build of its own."""
    setups = shelves.some(wb, Setup, dict.fromkeys((*shelves.one(wb, Study, study).setups, key)))
    one_each = len({setup.build for setup in setups.values()}) == len(setups)
    return shelves.one(wb, Build, setups[key].build).name if one_each else setups[key].name


def slot_of(wb: Workbench, study: str, plan: int | None, slot: int | None) -> Slot | None:
    """The slot that a run is filed under, if any. Raises BadRecord where there is none of this number."""
    if plan is None or slot is None:
        return None
    try:
        found = plans.plan(wb, plan)
    except NotFound as missing:
        raise BadRecord(missing.found, where=missing.where, todo=missing.todo) from missing
    chosen = found.slot(slot)
    if found.study != study or chosen is None:
        raise BadRecord(f"slot {slot} is not one of plan {plan} of this study", todo="see the bench page")
    return chosen


def noted(wb: Workbench, plan: int | None, slot: int | None) -> dict[str, float]:
    """What was written beside a slot that its run carries: room temperature and watts at the wall."""
    if plan is None or slot is None:
        return {}
    found = {n.key: n.value for n in notes_standing(wb, plan, slot) if n.key in NOTED}
    return {key: float(value) for key, value in found.items() if _is_number(value)}


def notes_standing(wb: Workbench, plan: int, slot: int) -> tuple[BenchNote, ...]:
    """What was written beside a slot; of readings those alone that are not of a run since set aside."""
    own = [each for each in plans.notes_of(wb, plan) if each.slot == slot]
    runs = {placed.run for placed in arrivals.placed_in_plan(wb, plan) if placed.slot == slot and placed.run}
    last = [told[-1] for run in runs if (told := decisions.decisions_of_run(wb, run))]
    again = max((each.at for each in last if each.state in OUT), default=None)
    return tuple(each for each in own if each.key not in NOTED or again is None or each.at > again)


def _is_number(value: str) -> bool:
    try:
        return math.isfinite(float(value))
    except ValueError:
        return False
