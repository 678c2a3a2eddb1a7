"""Looks declared anew after data are told where they are planned, on the plan and with the comparison."""

from __future__ import annotations

from datetime import timedelta

from tests.desk.filed_scores import STUDY, filed, score_plan
from tests.desk.small_folder import NOW

from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import bring_back, make_plan
from evenhand.desk.comparison.study_notes import study_notes
from evenhand.desk.on_record import load_study
from evenhand.desk.pages.plan import Asked, plan_page
from evenhand.store.workbench import Workbench

LATER = NOW + timedelta(minutes=30)
OTHERWISE = Terms(looks=(4, 5, 6, 7, 8), tests=("render",))
SAID = (
    "Looks were declared anew after two runs: at 5 and 8 runs of each before, "
    "after every run from 4 to 8 since"
)


def kinds(wb: Workbench) -> list[str]:
    return [note.kind for note in study_notes(load_study(wb, STUDY))]


def cautions(wb: Workbench, asked: Asked | None = None) -> tuple[str, ...]:
    return plan_page(wb, STUDY, asked=asked, now=LATER).cautions


def two_runs(wb: Workbench) -> int:
    """A plan under which two runs came in."""
    plan = score_plan(wb)
    filed(wb, slot=1, minutes=5)
    filed(wb, slot=2, minutes=9)
    return plan.id


def test_the_plan_that_would_be_made_cautions(stocked: Workbench) -> None:
    two_runs(stocked)
    assert not any("anew" in said for said in cautions(stocked))
    assert any(said.startswith(SAID) for said in cautions(stocked, Asked(terms=OTHERWISE, seed=1)))


def test_the_plan_that_was_made_and_the_comparison_say_so(stocked: Workbench) -> None:
    first = two_runs(stocked)
    make_plan(stocked, STUDY, OTHERWISE, seed=1, now=LATER)
    assert any(said.startswith(SAID) for said in cautions(stocked))
    noted = study_notes(load_study(stocked, STUDY))[-1]
    assert (noted.kind, noted.evidence) == ("looks-declared-anew", f"{SAID}.")
    assert "anew" not in noted.title  # the title stands before the sentence
    bring_back(stocked, STUDY, first, now=LATER)
    assert "looks-declared-anew" not in kinds(stocked)


def test_looks_chosen_anew_before_any_run_are_nobodys_surprise(stocked: Workbench) -> None:
    score_plan(stocked)
    make_plan(stocked, STUDY, OTHERWISE, seed=1, now=NOW)
    filed(stocked, slot=1, minutes=40)
    assert kinds(stocked) == []


def test_the_same_looks_planned_anew_are_the_same_looks(stocked: Workbench) -> None:
    two_runs(stocked)
    make_plan(stocked, STUDY, Terms(looks=(5, 8), tests=("render",)), seed=2, now=LATER)
    assert "looks-declared-anew" not in kinds(stocked)
