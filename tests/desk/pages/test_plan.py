"""A plan's page and its sheet: the first line says what there is, what is left and what it will show."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.desk.small_folder import NOW

from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.plan_on_record import plan_on_record
from evenhand.desk.bench.plan_standing import SlotState
from evenhand.desk.bench.planning import laid_out, make_plan, skip
from evenhand.desk.on_record import load_study
from evenhand.desk.pages import looks_offered
from evenhand.desk.pages.plan import Asked, PlanPage, plan_page
from evenhand.desk.pages.sheet import _left_out, sheet_page
from evenhand.errors import NotFound
from evenhand.store.plans import save_plan
from evenhand.store.workbench import Workbench

STUDY = "quay"


def page(wb: Workbench, asked: Asked | None = None) -> PlanPage:
    return plan_page(wb, STUDY, asked=asked, now=NOW)


def test_what_would_be_made_is_told_as_such(stocked: Workbench) -> None:
    seen = page(stocked, Asked(terms=Terms(looks=(5,)), seed=1))
    assert seen.answer == "It would take 12 runs, 2\u00a0h; 3\u00a0% shows in all three tests."
    assert not seen.saved
    assert [day.length for day in seen.days] == ["2\u00a0h"]


def test_a_plan_on_record_is_told_plainly_with_all_its_slots(stocked: Workbench) -> None:
    make_plan(stocked, STUDY, Terms(looks=(5,)), seed=1, now=NOW)
    seen = page(stocked)
    assert seen.answer == "12 runs, 2\u00a0h; 3\u00a0% shows in all three tests."
    assert [line.state for line in seen.slots].count("next") == 2
    assert seen.given["looks"] == "5"
    assert ("5", "Once, at 5 runs of each") in seen.looks


def test_spread_comes_from_the_runs_so_far_and_unsaid_minutes_are_told(stocked: Workbench) -> None:
    lines = {line.name: line for line in page(stocked, Asked(terms=Terms(looks=(5,)), seed=1)).tests}
    assert lines["Salt Causeway"].source == "its runs so far"
    assert lines["Salt Causeway"].minutes == "4\u00a0min, not said"
    assert lines["Night render"].minutes == "12\u00a0min"


def test_runs_from_before_the_plan_are_a_caution(stocked: Workbench) -> None:
    make_plan(stocked, STUDY, Terms(looks=(5,)), seed=1, now=NOW)
    assert page(stocked).cautions == (
        "18 runs were on record already: looks at so many runs were not declared before data.",
    )


def test_where_nothing_can_be_planned_it_says_why(stocked: Workbench) -> None:
    seen = page(stocked, Asked(terms=Terms(looks=(3,)), seed=1))
    assert seen.answer == "No bench day is planned."
    assert seen.trouble.startswith("Nothing is left to run: every test is settled")


def test_where_the_usual_looks_leave_nothing_to_run_those_that_lie_ahead_are_shown(
    stocked: Workbench,
) -> None:
    """Its three runs of each settle every test at a look at three."""
    usual = page(stocked, Asked(terms=Terms(), seed=0))
    assert usual.trouble
    seen = page(stocked)
    assert (seen.trouble, seen.given["looks"]) == ("", "5")
    assert seen.instead.startswith("With looks at 3, 5 and 8 runs of each the runs on record, 3 of each")
    assert seen.slots


def test_beyond_all_usual_looks_a_later_one_is_offered(
    stocked: Workbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "11" not in dict(page(stocked).looks)
    monkeypatch.setattr(looks_offered, "runs_there", lambda *_: 8)
    assert dict(page(stocked).looks)["11"] == "Once, at 11 runs of each"


def test_lanes_hold_every_run_within_the_days_width(stocked: Workbench) -> None:
    seen = page(stocked, Asked(terms=Terms(looks=(5,)), seed=1))
    marks = [mark for day in seen.days for mark in day.marks]
    assert len(marks) == 12
    assert all(mark.x >= 0 and mark.x + mark.width <= 100 for mark in marks)
    assert [lane.name for lane in seen.lanes] == ["Wren", "Plover"]


def test_the_sheet_leaves_out_what_is_settled_and_strikes_what_is_skipped(stocked: Workbench) -> None:
    laid = laid_out(load_study(stocked, STUDY), Terms(looks=(5,)), seed=1, now=NOW)
    plan = save_plan(stocked, laid)
    skip(stocked, plan.id, plan.slots[0].number, "spilt tea", by="phone", now=NOW)
    sheet = sheet_page(stocked, STUDY)
    rows = [row for block in sheet.blocks for row in block.rows]
    assert (len(rows), rows[0].struck) == (12, "spilt tea")
    save_plan(stocked, replace(laid, looks=(3, 5)))  # all tests of this study are settled at three runs
    left = sheet_page(stocked, STUDY).blocks
    assert [row.struck for block in left for row in block.rows] == ["spilt tea"]
    assert left[0].heading.endswith("5 settled, left out")


def test_the_sheet_says_which_blocks_of_which_day_are_left_out(stocked: Workbench) -> None:
    save_plan(stocked, laid_out(load_study(stocked, STUDY), Terms(looks=(5,)), seed=1, now=NOW))
    standing = plan_on_record(load_study(stocked, STUDY))
    assert standing
    first = standing.slots[0]
    blocks = ((1, 1, SlotState.SETTLED), (1, 2, SlotState.LATER), (2, 1, SlotState.SETTLED))
    slots = tuple(
        replace(first, state=state, slot=replace(first.slot, day=day, block=block))
        for day, block, state in blocks
    )
    told = _left_out(replace(standing, slots=slots))
    assert told == (
        "Block 1 of day 1 and block 1 of day 2 left out: their runs are settled. Others keep their number."
    )


def test_the_sheet_says_which_blocks_are_of_earlier_plans(stocked: Workbench) -> None:
    save_plan(stocked, laid_out(load_study(stocked, STUDY), Terms(looks=(5,)), seed=1, now=NOW))
    standing = plan_on_record(load_study(stocked, STUDY))
    assert standing
    assert _left_out(standing) == "Blocks 1 to 3 are of earlier plans or runs: no number is used twice."
    first = standing.slots[0]
    for blocks, said in (
        ((1, 2, 3), ""),
        ((1, 3), "Block 2 is"),
        ((1, 5, 9), "Blocks 2 to 4 and 6 to 8 are"),
    ):
        slots = tuple(replace(first, slot=replace(first.slot, block=block)) for block in blocks)
        assert _left_out(replace(standing, slots=slots)).partition(" of earlier")[0] == said


def test_without_a_plan_there_is_no_sheet(stocked: Workbench) -> None:
    with pytest.raises(NotFound, match="no plan to print"):
        sheet_page(stocked, STUDY)
