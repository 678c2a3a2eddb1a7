"""The live header of a study: what stands, what would settle it, and nothing that no look allows."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from tests.desk.landing_cases import landed, log
from tests.desk.small_folder import NOW, Folder

from evenhand.desk.bench.live_finding import LiveHeader, bar_of, live_header
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import laid_out
from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.runs.deciding import set_aside
from evenhand.desk.runs.said import Said
from evenhand.findings.finding import Outcome
from evenhand.publish.numbers import count_word
from evenhand.records.runs import RunState
from evenhand.store.plans import save_plan
from evenhand.store.workbench import Workbench

STUDY = "quay"


def header(wb: Workbench, looks: tuple[int, ...] | None = None) -> LiveHeader:
    if looks is not None:
        laid = laid_out(load_study(wb, STUDY), Terms(looks=looks[-1:]), seed=1, now=NOW)
        save_plan(wb, replace(laid, looks=looks))  # declared before there were runs
    return live_header(load_study(wb, STUDY))


def test_an_empty_study_says_nothing(wb: Workbench) -> None:
    from evenhand.records.studies import Study
    from evenhand.store import shelves

    shelves.save(wb, Study(key="bare", title="Bare", setups=(), tests=()), now=NOW)
    bare = live_header(load_study(wb, "bare"))
    assert (bare.first, bare.lines, bare.settled) == (None, (), False)


def test_a_run_that_waits_is_left_out_of_its_own_test_alone(stocked: Workbench) -> None:
    assert landed(stocked, log(fps=70.0)).run.state is RunState.IN_DOUBT
    lines = header(stocked, (3, 5)).lines
    said = {line.key: "The run that waits is left out." in line.small for line in lines}
    assert [key for key, waits in said.items() if waits] == ["", "group:games", "causeway"]
    assert len(said) > 3


def test_without_a_plan_only_evidence_for_any_look_counts(stocked: Workbench) -> None:
    told = header(stocked)
    assert not told.declared
    assert told.first is not None
    assert told.first.sentence == "So far, by intervals that hold however often one looks: three unsettled"
    assert told.first.small.startswith("This holds whenever one looks.")


def test_without_a_plan_it_says_what_the_comparison_settles_and_why(stocked: Workbench) -> None:
    """So that two pages that judge by different rules do not seem to contradict each other."""
    first = header(stocked).first
    compared = findings_now(load_study(stocked, STUDY)).findings
    settled = sum(f.headline and f.outcome is not Outcome.UNSETTLED for f in compared)
    assert settled
    assert first is not None
    assert f"The comparison settles {count_word(settled)} more: it takes these runs as all" in first.small


def test_a_plan_is_said_to_settle_sooner_only_where_one_has_runs_left(stocked: Workbench) -> None:
    first = next(each.run.id for each in load_study(stocked, STUDY).runs if each.run.test == "render")
    set_aside(stocked, first, reason="interrupted", said=Said(note="the phone rang", now=NOW))
    small = {line.key: line.small for line in header(stocked).lines}
    assert small["causeway"].endswith("To go on, plan more runs with looks declared ahead.")
    assert small["render"].endswith("A plan settles sooner.")


def test_at_a_look_each_test_says_where_it_stands(stocked: Workbench) -> None:
    told = header(stocked, (3, 5, 8))
    assert told.declared
    line = next(line for line in told.lines if line.key == "causeway")
    assert line.sentence.startswith("Salt Causeway so far: Wren behind Plover, −")
    assert line.small == "Settled at the look at three runs of each: stop."
    assert line.bar is not None


def test_the_first_line_is_the_index_over_all_tests(stocked: Workbench) -> None:
    told = header(stocked, (3, 5, 8))
    assert told.first is not None
    assert told.first.key == ""
    assert told.first.where == "All three tests"


def test_what_cannot_be_compared_yet_comes_last_and_says_which_has_no_run(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    labels = [run["label"] for run in folder.runs if run["test"] == "causeway"]
    labels += [run["label"] for run in folder.runs if run["label"].startswith("wren render")]
    import_folder(wb, folder.without(*labels).write(tmp_path / "study"), now=NOW)
    told = header(wb, (5, 8))
    assert [line.key for line in told.lines][-2:] == ["causeway", "render"]
    assert told.lines[-2].stands == "Plover and Wren cannot be compared yet: neither has a run that counts"
    assert told.lines[-1].stands == "Plover and Wren cannot be compared yet: Wren has no run that counts"
    assert told.first is not None
    assert "cannot be compared" not in told.first.sentence


def test_before_a_look_its_numbers_are_shown_and_nothing_is_said(stocked: Workbench) -> None:
    told = header(stocked, (5, 8))
    assert {line.outcome for line in told.lines} == {"unsettled"}
    line = next(line for line in told.lines if line.key == "causeway")
    assert "The first look is at five runs of each, two more." in line.small
    assert not told.settled


def test_a_bar_lies_within_its_width_and_holds_its_dot() -> None:
    bar = bar_of(1.04, 1.018, 1.064, margin=0.03)
    assert bar is not None
    assert bar.low is not None
    assert bar.high is not None
    assert 0 <= bar.low < bar.dot < bar.high <= 100
    assert bar.band[0] + bar.band[1] == 100
    assert bar_of(None, None, None, margin=0.03) is None


@pytest.mark.parametrize(("low", "ratio", "high"), [(1.3, 1.45, 1.62), (0.55, 0.6, 0.66), (0.9, 1.1, 1.9)])
def test_an_interval_far_beyond_the_band_leaves_the_band_legible(
    low: float, ratio: float, high: float
) -> None:
    bar = bar_of(ratio, low, high, margin=0.03)
    assert bar is not None
    assert bar.band[1] - bar.band[0] >= 12.4
    assert bar.arrows in ((100.0,), (0.0,))
    assert bar.low is not None
    assert bar.high is not None
    assert 0 <= bar.low <= bar.high <= 100
    assert bar.beyond.startswith("beyond this picture: ")


def test_an_interval_within_the_picture_has_no_arrow() -> None:
    bar = bar_of(1.04, 1.018, 1.064, margin=0.03)
    assert bar is not None
    assert (bar.arrows, bar.beyond) == ((), "")
