"""A rig that dropped out keeps nothing open: what the others have settled is settled, everywhere alike."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from tests.desk.bench.test_planning import now, score, states
from tests.desk.small_folder import LATER, NOW, small_folder
from tests.once import once

from evenhand.desk.bench.live_finding import LiveHeader, live_header
from evenhand.desk.bench.next_step import next_step
from evenhand.desk.bench.plan_needs import Terms, left_without
from evenhand.desk.bench.plan_standing import PlanNow, SlotState
from evenhand.desk.bench.planned_without import dropped_setups
from evenhand.desk.bench.planning import bring_back, make_plan, replan
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.pages.bench import bench_page
from evenhand.desk.runs.deciding import set_aside
from evenhand.desk.runs.said import Said
from evenhand.errors import BadRecord
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.store.workbench import Workbench, open_workbench

TERMS = Terms(looks=(3, 5, 8), tests=("render",))
VALUES = {"wren": (100.0, 101.0, 99.0), "plover": (160.0, 161.5, 159.0), "dunlin": (130.0, 131.0, 129.5)}


@pytest.fixture
def three(place: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    """A study of one test and three setups, every run of it set aside, so that a plan begins with none."""
    shutil.copy(once(tmp_path_factory, "three-without-runs", without_runs) / "bench.evenhand", place)
    with open_workbench(place) as opened:
        yield opened


def without_runs(place: Path) -> None:
    folder = small_folder()
    folder.document["builds"].append({"key": "dunlin", "name": "Dunlin", "slot": 3})
    folder.document["setups"].append({"key": "dunlin", "build": "dunlin"})
    with open_workbench(place / "bench.evenhand") as wb:
        import_folder(wb, folder.write(place / "study"), now=NOW)
        bare = replace(shelves.one(wb, Study, "quay"), tests=("render",), setups=("wren", "dunlin", "plover"))
        shelves.save(wb, bare, now=NOW)
        for each in load_study(wb, "quay").runs:
            set_aside(wb, each.run.id, reason="interrupted", said=Said(note="begun anew", now=NOW))


def run_all(wb: Workbench, setup: str, most: int) -> None:
    for at in range(most):
        slot = next(each.slot for each in now(wb).coming if each.slot.setup == setup)
        score(wb, slot, VALUES[setup][at])


def header(wb: Workbench) -> LiveHeader:
    return live_header(load_study(wb, "quay"))


def dropped(wb: Workbench, *, runs: int = 0) -> PlanNow:
    """The plan once two have three runs each, and Dunlin, with so many, was dropped before."""
    make_plan(wb, "quay", TERMS, seed=4, now=NOW)
    run_all(wb, "dunlin", runs)
    replan(wb, "quay", seed=5, now=LATER, without=("dunlin",))
    run_all(wb, "wren", 3)
    run_all(wb, "plover", 3)
    return now(wb)


@pytest.mark.parametrize("runs", [0, 1])
def test_what_the_others_have_settled_stops_the_plan(three: Workbench, runs: int) -> None:
    standing = dropped(three, runs=runs)
    assert standing.finished
    assert standing.minutes_left == 0
    assert standing.count(SlotState.SETTLED) == 10
    told = header(three)
    assert told.settled
    assert told.first is not None
    assert {told.first.a, told.first.b} == {"Wren", "Plover"}
    bench = bench_page(three, "quay", now=LATER)
    assert bench.progress.endswith(", 10 not needed any more. Planned without Dunlin.")
    assert bench.answer == "The plan is done. Nothing is left to run."
    step = next_step(load_study(three, "quay"))
    assert step.now == "The one test is settled, without Dunlin."
    assert step.page == "compare"


def test_a_pair_that_it_was_planned_without_promises_no_look(three: Workbench) -> None:
    dropped(three)
    small = {line.small for line in header(three).lines if "Dunlin" in (line.a, line.b)}
    assert small == {"Planned without Dunlin: no look is ahead. Plan anew with Dunlin once it is back."}


def test_while_the_others_are_open_the_plan_goes_on(three: Workbench) -> None:
    dropped(three)
    last = load_study(three, "quay").runs[-1].run.id
    set_aside(three, last, reason="interrupted", said=Said(note="the phone rang", now=LATER))
    assert {each.slot.setup for each in now(three).coming} == {"wren", "plover"}
    assert next_step(load_study(three, "quay")).page == "bench"


def test_a_run_of_it_that_is_set_aside_is_not_asked_for_again(three: Workbench) -> None:
    dropped(three, runs=1)
    own = next(each.run.id for each in load_study(three, "quay").runs if each.run.id.startswith("run-")
               and each.run.setup == "dunlin")  # fmt: skip
    set_aside(three, own, reason="interrupted", said=Said(note="the phone rang", now=LATER))
    standing = now(three)
    assert standing.finished
    assert {each.why for each in standing.slots if each.slot.setup == "dunlin"} == {"planned without its rig"}


def test_it_stays_named_as_left_out_and_nobody_else_is(three: Workbench) -> None:
    standing = dropped(three)
    record = load_study(three, "quay")
    assert dropped_setups(record) == {"dunlin"}
    assert left_without(record, standing) == {"dunlin"}
    with pytest.raises(BadRecord, match="nothing is left to plan"):
        replan(three, "quay", seed=6, now=LATER, without=("dunlin",))


def test_once_it_is_planned_for_again_it_keeps_its_pairs_open(three: Workbench) -> None:
    first = dropped(three).plan.id
    replan(three, "quay", seed=6, now=LATER)
    assert dropped_setups(load_study(three, "quay")) == frozenset()
    assert SlotState.NEXT in states(now(three))
    bring_back(three, "quay", first, now=LATER)
    assert dropped_setups(load_study(three, "quay")) == {"dunlin"}
