"""What a plan promises rests on the very spread that the comparison and the bench judge by."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from tests.desk.small_folder import LATER, NOW, Folder, small_folder

from evenhand.desk.bench.live_finding import live_header
from evenhand.desk.bench.outlooks import outlook_of, own_spreads
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan
from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.pages.plan import Asked, TestLine, plan_page
from evenhand.desk.runs.deciding import keep
from evenhand.desk.runs.said import Said
from evenhand.findings.finding import Finding, Settle
from evenhand.plans.looks import declared
from evenhand.records.runs import RunState
from evenhand.store.workbench import Workbench

STUDY = "quay"
ODD = "wren render 2"


@pytest.fixture
def folder() -> Folder:
    """Two builds render alike, but for one score of three that lies a quarter off its siblings."""
    folder = small_folder(STUDY)
    for number in (1, 2, 3):
        folder.run(f"plover render {number}")["score"] *= 1.2
    folder.run(ODD)["score"] *= 1.25
    return folder


@pytest.fixture
def wb(wb: Workbench, folder: Folder, tmp_path: Path) -> Workbench:
    import_folder(wb, folder.write(tmp_path / "odd"), now=NOW)
    return wb


def keep_it(wb: Workbench) -> None:
    odd = next(each for each in load_study(wb, STUDY).runs if each.run.label == ODD)
    assert odd.state is RunState.IN_DOUBT
    keep(wb, odd.run.id, said=Said(note="the room was as ever", now=LATER))


def line(wb: Workbench) -> TestLine:
    shown = plan_page(wb, STUDY, asked=Asked(terms=Terms(looks=(5, 8)), seed=1), now=LATER)
    return next(test for test in shown.tests if test.name == "Night render")


def compared(wb: Workbench) -> Finding:
    found = findings_now(load_study(wb, STUDY)).findings
    return next(f for f in found if f.test == "render" and f.headline)


def test_a_run_that_waits_widens_no_plan(wb: Workbench) -> None:
    assert line(wb).shows
    assert line(wb).odd == ""


def test_a_run_that_is_kept_is_in_the_spread_of_plan_comparison_and_bench_alike(wb: Workbench) -> None:
    keep_it(wb)
    told = line(wb)
    assert (told.shows, told.needed) == (False, "more than 60")
    assert compared(wb).outcome == "unsettled"
    assert compared(wb).settle == Settle(more_runs=None)
    make_plan(wb, STUDY, Terms(looks=(3, 5, 8)), seed=1, now=LATER)
    bench = next(each for each in live_header(load_study(wb, STUDY)).lines if each.key == "render")
    assert (bench.outcome, bench.more_runs) == ("unsettled", None)


def test_the_spread_is_that_of_the_runs_that_are_compared(wb: Workbench) -> None:
    keep_it(wb)
    runs = [each for each in load_study(wb, STUDY).runs if each.run.test == "render"]
    by_setup = [
        [math.log(each.run.score) for each in runs if each.run.setup == setup and each.run.score]
        for setup in ("wren", "plover")
    ]
    squares = sum(sum((x - sum(own) / len(own)) ** 2 for x in own) for own in by_setup)
    assert own_spreads(load_study(wb, STUDY))["render"] == pytest.approx((squares / 4, 4.0))


def test_the_run_that_carries_a_spread_is_named_with_what_the_others_show(wb: Workbench) -> None:
    keep_it(wb)
    assert line(wb).odd == "Wren, Night render, run 2 carries this; without it: 0.5\u00a0%"
    seen = outlook_of(wb, load_study(wb, STUDY), declared((8,)))
    assert {test.test: len(test.expected.odd) for test in seen.tests} == {
        "causeway": 0,
        "tramlines": 0,
        "render": 1,
    }
