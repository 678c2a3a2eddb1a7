"""Which run a file most likely is: by what came with it, else by the plan, else by its name, else nothing."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import pytest
from tests.desk.landing_cases import STUDY, come_in, landed, log
from tests.desk.small_folder import NOW

from evenhand.desk.bench.matching import ASTRAY, Proposal, filing_of, propose
from evenhand.desk.bench.planning import skip, unskip
from evenhand.desk.bench.told import about_of, told_from
from evenhand.records.layouts import LogKind
from evenhand.records.plans import Plan, Slot
from evenhand.store import plans
from evenhand.store.workbench import Workbench


def planned(wb: Workbench) -> Plan:
    """Two runs on each build, the builds' turns one after the other, no boot of which has run yet."""
    order = [("causeway", "wren"), ("causeway", "plover"), ("tramlines", "plover"), ("tramlines", "wren")]
    slots = tuple(
        Slot(number=n, block=1, test=test, setup=setup, boot=f"{setup}-9", order=100 + n, minutes=5, turn=n)
        for n, (test, setup) in enumerate(order, start=1)
    )
    return plans.save_plan(wb, Plan(study=STUDY, at=NOW, seed=1, looks=(9,), slots=slots))


def proposed(wb: Workbench, name: str, *, kind: LogKind | None = None, **about: Any) -> Proposal:
    return propose(wb, come_in(wb, name.encode(), name, **about_of(about)), kind=kind)


def test_what_came_with_the_file_goes_before_its_name(stocked: Workbench) -> None:
    found = proposed(stocked, "plover-tramlines.csv", test="causeway", setup="wren")
    assert (found.test, found.setup, found.sure) == ("causeway", "wren", True)
    assert found.reasons == ("its test and setup came with it",)


def test_a_slot_that_came_with_the_file_is_its_place_in_the_plan(stocked: Workbench) -> None:
    plan = planned(stocked)
    found = proposed(stocked, "x.csv", study=STUDY, plan=plan.id, slot=3)
    assert (found.test, found.setup, found.plan, found.slot) == ("tramlines", "plover", plan.id, 3)
    assert found.sure


def test_without_more_it_is_the_next_run_of_the_plan(stocked: Workbench) -> None:
    plan = planned(stocked)
    found = proposed(stocked, "frames.csv")
    assert (found.slot, found.reasons) == (1, ("it is the next run in the plan",))
    landed(stocked, log(), plan=plan.id, slot=1)
    assert proposed(stocked, "frames 2.csv").slot == 2


def test_a_rig_brings_the_next_run_of_its_own_build(stocked: Workbench) -> None:
    plan = planned(stocked)
    landed(stocked, log(), plan=plan.id, slot=1)
    found = proposed(stocked, "frames.csv", build="plover")
    assert (found.slot, found.sure) == (2, True)
    assert found.reasons == ("it is the next run of this build in the plan",)


def test_what_appeared_on_a_rig_that_made_no_run_is_no_run_of_the_plan_unasked(stocked: Workbench) -> None:
    plan = planned(stocked)
    landed(stocked, log(), plan=plan.id, slot=1)
    found = proposed(stocked, "frames.csv", build="plover", astray="yes")
    assert (found.slot, found.sure, found.early) == (2, False, False)
    assert found.reasons[-1] == ASTRAY


def test_what_names_its_boot_or_order_needs_no_order_of_the_plan(stocked: Workbench) -> None:
    planned(stocked)
    facts = {"study": STUDY, "test": "causeway", "setup": "plover"}
    assert proposed(stocked, "frames.csv", **facts, boot="plover-3").sure
    assert proposed(stocked, "more.csv", **facts, order=7).sure


@pytest.mark.parametrize(
    ("name", "about"),
    [
        ("plover 1.csv", {}),
        ("frames.csv", {"build": "plover"}),
        ("frames.csv", {"study": STUDY, "test": "causeway", "setup": "plover"}),
    ],
)
def test_what_another_run_is_to_be_made_before_is_not_filed_unseen(
    stocked: Workbench, name: str, about: dict[str, str]
) -> None:
    planned(stocked)
    found = proposed(stocked, name, **about)
    assert (found.slot, found.sure, found.early) == (2, False, True)
    assert found.reasons[-1] == "run 1 of the plan is to be made before it"


def skipped_at(wb: Workbench, plan: Plan, slot: int, *, at: datetime) -> None:
    skip(wb, plan.id, slot, "no power", by="phone", now=at)


@pytest.mark.parametrize(("minutes", "sure"), [(1, False), (-1, True)])
def test_what_was_on_its_way_when_a_run_was_skipped_may_be_that_one(
    stocked: Workbench, minutes: int, sure: bool
) -> None:
    plan = planned(stocked)
    landed(stocked, log(), plan=plan.id, slot=1)
    skipped_at(stocked, plan, 2, at=NOW + timedelta(minutes=minutes))
    found = proposed(stocked, "plover 2.csv", begun=NOW)
    assert (found.slot, found.sure) == (3, sure)
    said = "run 2 of the plan was skipped while it was on its way"
    assert (said in found.reasons) is not sure


def test_a_run_of_another_machine_that_was_skipped_keeps_nothing_waiting(stocked: Workbench) -> None:
    plan = planned(stocked)
    skipped_at(stocked, plan, 1, at=NOW + timedelta(minutes=1))
    assert proposed(stocked, "plover 1.csv", begun=NOW).sure
    assert not proposed(stocked, "frames.csv", begun=NOW).sure  # it may be of either


def test_a_skip_that_was_taken_back_keeps_nothing_waiting(stocked: Workbench) -> None:
    plan = planned(stocked)
    skipped_at(stocked, plan, 1, at=NOW + timedelta(minutes=1))
    unskip(stocked, plan.id, 1, by="phone", now=NOW + timedelta(minutes=2))
    assert proposed(stocked, "wren 1.csv", begun=NOW).sure


def test_a_name_that_contradicts_the_plan_is_not_filed_unseen(stocked: Workbench) -> None:
    planned(stocked)
    found = proposed(stocked, "wren_nine-tramlines.csv")
    assert (found.test, found.setup, found.slot, found.sure) == ("tramlines", "wren", 4, False)


@pytest.mark.parametrize(
    ("name", "test", "setup", "sure"),
    [
        ("wren-causeway-4.csv", "causeway", "wren", True),
        ("logs/Plover/Nine Tramlines (2).csv", "tramlines", "plover", True),
        ("plover.csv", None, "plover", False),
        ("salt.csv", None, None, False),
        ("wren plover causeway.csv", "causeway", None, False),
    ],
)
def test_words_in_the_name(
    stocked: Workbench, name: str, test: str | None, setup: str | None, sure: bool
) -> None:
    found = proposed(stocked, name)
    assert (found.test, found.setup, found.sure) == (test, setup, sure)
    assert bool(found.reasons) is bool(test or setup)


def test_a_test_that_needs_another_kind_of_file_is_not_sure(stocked: Workbench) -> None:
    found = proposed(stocked, "wren-causeway.csv", kind=LogKind.SCORES)
    assert not found.sure
    assert found.reasons[-1] == "it looks like a log of scores, and that test measures frames"
    beside = proposed(stocked, "wren-causeway 2.csv", kind=LogKind.SENSORS)
    assert (beside.test, beside.sure) == (None, False)


def test_facts_go_to_words_and_back(stocked: Workbench) -> None:
    facts = {"kind": "score", "plan": 3, "order": 4, "score": 12.5, "stamps": {"os": "Tern 9"}, "boot": None}
    told = told_from(about_of({**facts, "started_at": NOW, "wall_w": "about 300"}))
    assert (told.plan, told.order, told.score, told.stamps) == (3, 4, 12.5, {"os": "Tern 9"})
    assert (told.started_at, told.wall_w, told.boot) == (NOW, None, None)


def test_a_filing_carries_what_came_with_the_file(stocked: Workbench) -> None:
    beside = come_in(stocked, b"readings", "sensors.csv")
    about = about_of({"test": "causeway", "setup": "wren", "sensors": beside.digest, "ambient_c": 23.5})
    came = come_in(stocked, log(), "x.csv", **about)
    filing = filing_of(stocked, came, propose(stocked, came))
    assert filing is not None
    assert (filing.sensors, filing.ambient_c) == (beside, 23.5)


@pytest.mark.parametrize(
    ("about", "found"),
    [
        ({"setup": "plover"}, ("causeway", "plover", 2)),
        ({"test": "causeway", "setup": "plover"}, ("causeway", "plover", 2)),
        ({"setup": "plover", "test": "tramlines"}, ("tramlines", "plover", 3)),
    ],
)
def test_what_is_said_binds_and_the_plan_says_the_rest(
    stocked: Workbench, about: dict[str, str], found: tuple[str, str, int]
) -> None:
    planned(stocked)
    at = proposed(stocked, "frames.csv", study=STUDY, **about)
    assert (at.test, at.setup, at.slot) == found


def test_what_is_said_is_not_given_up_for_the_run_that_comes_next(stocked: Workbench) -> None:
    plan = planned(stocked)
    landed(stocked, log(), plan=plan.id, slot=1)
    found = proposed(stocked, "frames.csv", study=STUDY, test="tramlines")
    assert (found.test, found.slot, found.sure) == ("tramlines", None, False)


@pytest.mark.parametrize(
    "about", [{"test": "nonsense"}, {"setup": "nonsense"}, {"test": "nonsense", "setup": "wren"}]
)
@pytest.mark.parametrize("study", [STUDY, None])
def test_what_names_a_test_or_setup_that_no_study_holds_waits(
    stocked: Workbench, about: dict[str, str], study: str | None
) -> None:
    planned(stocked)
    found = proposed(stocked, "frames.csv", study=study, **about)
    assert (found.test, found.setup, found.sure) == (None, None, False)
    assert any("'nonsense'" in reason for reason in found.reasons) is (study is not None)


def test_a_slot_of_another_test_than_is_said_is_not_filed_unseen(stocked: Workbench) -> None:
    plan = planned(stocked)
    found = proposed(stocked, "x.csv", study=STUDY, plan=plan.id, slot=3, test="causeway")
    assert (found.slot, found.sure) == (3, False)
    assert found.reasons[-1] == "it names 'causeway', and that slot is another’s"
