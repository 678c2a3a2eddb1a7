"""The next step follows from where a study stands: a table of cases."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from tests.desk.small_folder import NOW, small_folder

from evenhand.desk.bench.next_step import NextStep, next_step, step_from
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan
from evenhand.desk.bench.standing import Open, Standing, standing_of
from evenhand.desk.comparison.barred import Barred
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.records.plans import Arrival
from evenhand.store import arrivals, originals
from evenhand.store.workbench import Workbench

MEASURED = Standing(setups=2, tests=3, runs=18, counting=18)
RENDER = Open(test="Night render", more_runs=2, minutes=40.0)
FAR = Open(test="Photo batch")
APART = tuple(
    Barred(test=f"Test {n}", wholly=True, todo="Measure both with one resolution")
    for n in ("one", "two", "three")
)
AS_MEANT = "if these runs are all that were meant."
TWO_MORE = "Two more runs of each, about 40 min, would settle Night render."


@pytest.mark.parametrize(
    ("standing", "page", "now", "todo"),
    [
        (Standing(setups=0), "builds", "The study has no setup; a comparison needs two.", "Say what"),
        (Standing(setups=1), "builds", "The study has one setup only; a comparison needs two.", "Say what"),
        (Standing(tests=0), "brief", "The brief has no tests yet.", "Say what is measured"),
        (Standing(), "bench", "Nothing has been measured yet.", "Plan the bench day, or bring logs in"),
        (
            Standing(planned=12, left=12, minutes_left=100.0),
            "bench",
            "Nothing has been measured yet; twelve runs are planned, about 100 min.",
            "Make the first run",
        ),
        (
            Standing(inbox=1),
            "inbox",
            "Nothing has been measured yet. One file waits in the inbox.",
            "Say which run it is",
        ),
        (
            replace(MEASURED, counting=17, waiting=1, inbox=4, open=(RENDER,)),
            "runs",
            "17 of 18 runs count. One waits for a decision.",
            "Decide about it",
        ),
        (
            replace(MEASURED, counting=15, waiting=3),
            "runs",
            "15 of 18 runs count. Three wait for a decision.",
            "Decide about them",
        ),
        (
            replace(MEASURED, inbox=2, open=(RENDER,)),
            "inbox",
            "18 of 18 runs count. Two files wait in the inbox.",
            "Say which run each is",
        ),
        (
            replace(MEASURED, inbox=3, unclaimed=3, open=(RENDER,)),
            "inbox",
            "18 of 18 runs count. Three files wait in the inbox.",
            "Say which run each is",
        ),
        (
            replace(MEASURED, inbox=3, unclaimed=2),
            "inbox",
            "18 of 18 runs count. One file waits in the inbox.",
            "Say which run it is",
        ),
        (
            replace(MEASURED, inbox=3, unclaimed=3),
            "compare",
            f"Three of three tests settled, {AS_MEANT}",
            "See what they say",
        ),
        (
            replace(MEASURED, open=(RENDER, FAR)),
            "bench",
            f"Two of three tests are unsettled. {TWO_MORE}",
            "Plan the runs that are missing",
        ),
        (
            replace(MEASURED, open=(RENDER,), planned=24, left=6, minutes_left=150.0),
            "bench",
            f"One of three tests is unsettled. {TWO_MORE}",
            "Make the next run; 6 of 24 planned ones are left, about 2 h 30 min",
        ),
        (
            replace(MEASURED, setups=5, open=(FAR, FAR, FAR), pairs=(8, 30)),
            "compare",
            "Eight of 30 comparisons are unsettled, in all three tests.",
            "See what they say",
        ),
        (
            replace(MEASURED, open=(FAR, FAR, FAR)),
            "compare",
            "All three tests are unsettled.",
            "See what they say",
        ),
        (
            replace(MEASURED, tests=1, runs=2, counting=2, open=(Open(test="Night render", few=True),)),
            "bench",
            "The one test is unsettled. A second run of each would show how runs scatter.",
            "Plan the runs that are missing",
        ),
        (replace(MEASURED, tests=1, open=(FAR,)), "compare", "The one test is unsettled.", "See what"),
        (
            replace(MEASURED, barred=APART),
            "causes",
            "No ratio may be formed in any of three tests.",
            "Measure both with one resolution",
        ),
        (
            replace(MEASURED, barred=(APART[0], replace(APART[1], wholly=False))),
            "causes",
            "No ratio may be formed in Test one, nor of some pair in Test two.",
            "Measure both with one resolution",
        ),
        (
            replace(MEASURED, barred=APART[:1], open=(RENDER,)),
            "bench",
            f"One of three tests is unsettled. {TWO_MORE}",
            "Plan the runs that are missing",
        ),
        (MEASURED, "compare", f"Three of three tests settled, {AS_MEANT}", "See what they say"),
        (replace(MEASURED, tests=2), "compare", f"Both tests are settled, {AS_MEANT}", ""),
        (
            replace(MEASURED, planned=24, left=6, minutes_left=90.0),
            "compare",
            "Three of three tests settled.",
            "See what they say",
        ),
    ],
)  # fmt: skip
def test_what_is_next(standing: Standing, page: str, now: str, todo: str) -> None:
    step = step_from(standing)
    assert step.page == page
    assert step.now.replace("\xa0", " ") == now
    assert step.next.replace("\xa0", " ").startswith(todo)


@pytest.mark.parametrize("standing", [Standing(setups=0), Standing(), MEASURED, replace(MEASURED, waiting=2)])
def test_every_step_says_where_it_is_and_what_it_is(standing: Standing) -> None:
    step = step_from(standing)
    assert all((step.now, step.next, step.label, step.page))


def test_of_several_unsettled_tests_the_nearest_is_named() -> None:
    far = Open(test="Export", more_runs=5, minutes=30.0)
    assert "would settle Night render" in step_from(replace(MEASURED, open=(far, RENDER))).now


def test_a_study_as_it_is_on_record(stocked: Workbench) -> None:
    standing = standing_of(load_study(stocked, "quay"))
    assert (standing.setups, standing.tests, standing.runs, standing.counting) == (2, 3, 18, 18)
    assert standing.planned is None


def test_a_file_that_came_in_by_itself_is_told_of(stocked: Workbench) -> None:
    with stocked.writing():
        data = b"what is this?"
        digest = hashlib.sha256(data).hexdigest()
        originals.keep(stocked, data, name="odd.csv", digest=digest)
        arrivals.add_arrival(stocked, Arrival(digest=digest, name="odd.csv", by="folder", at=NOW))
    standing = standing_of(load_study(stocked, "quay"))
    assert (standing.inbox, standing.unclaimed) == (1, 1)


def test_a_plan_that_is_not_followed_yet_has_all_its_runs_left(wb: Workbench, tmp_path: Path) -> None:
    import_folder(wb, small_folder().without(*labels()).write(tmp_path / "quay"), now=NOW)
    make_plan(wb, "quay", Terms(), seed=1, now=NOW + timedelta(minutes=1))
    step = next_step(load_study(wb, "quay"))
    assert isinstance(step, NextStep)
    assert (step.page, step.next) == ("bench", "Make the first run")


def labels() -> list[str]:
    return [run["label"] for run in small_folder().runs]


def test_the_step_is_worked_out_once_for_a_record(stocked: Workbench) -> None:
    record = load_study(stocked, "quay")
    assert next_step(record) is next_step(record)
