"""What a comparison says and under which inputs it is frozen."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.desk.small_folder import LATER, NOW, Folder, everything, small_folder

from evenhand.desk import deciding
from evenhand.desk.answers import comparison_answer
from evenhand.desk.comparing import compare
from evenhand.desk.deciding import find_run
from evenhand.desk.importing import import_folder
from evenhand.errors import NotFound
from evenhand.findings.finding import Finding, Outcome
from evenhand.store.results import results_of
from evenhand.store.workbench import Workbench, open_workbench


def finding(wb: Workbench, test: str, metric: str | None = None) -> Finding:
    found = compare(wb, "quay", now=NOW).comparison.findings
    return next(f for f in found if f.test == test and (f.headline if metric is None else f.metric == metric))


# --- what it says


def test_the_first_setup_is_a_and_better_is_upward(stocked: Workbench) -> None:
    causeway = finding(stocked, "causeway")
    assert (causeway.a, causeway.b, causeway.n_a, causeway.n_b) == ("wren", "plover", 3, 3)
    assert causeway.outcome is Outcome.BEHIND
    assert causeway.ratio == pytest.approx(100 / 125, rel=0.02)


def test_of_a_number_that_is_better_lower_the_ratio_is_turned(stocked: Workbench) -> None:
    render = finding(stocked, "render")
    assert render.ratio == pytest.approx(10 / 12, rel=0.01)  # plover needs fewer minutes: wren is behind
    assert render.outcome is Outcome.BEHIND


def test_turning_the_setups_round_turns_the_ratio(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    folder.document["study"]["setups"] = ["plover", "wren"]
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert finding(wb, "render").ratio == pytest.approx(12 / 10, rel=0.01)
    assert finding(wb, "causeway").outcome is Outcome.AHEAD


def test_a_test_names_further_numbers_and_they_are_compared_under_their_own_names(stocked: Workbench) -> None:
    low = finding(stocked, "tramlines", "low_1pct")
    assert (low.headline, low.metric) == (False, "low_1pct")
    assert low.ratio is not None


def test_one_run_of_each_gives_a_ratio_without_an_interval(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["runs"] = [run for run in folder.runs if run["label"].endswith("1")]
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    for found in compare(wb, "quay", now=NOW).comparison.findings:
        assert (found.low, found.high, found.outcome) == (None, None, Outcome.UNSETTLED)
    json.dumps(comparison_answer(compare(wb, "quay", now=NOW).comparison), allow_nan=False)


def test_a_study_without_runs_says_so_and_does_not_fall_over(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["runs"] = []
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    answer = comparison_answer(compare(wb, "quay", now=NOW).comparison)
    assert {f["outcome"] for f in answer["findings"]} <= {"unsettled"}
    assert answer["index"] == []


def test_runs_in_doubt_do_not_count_and_the_finding_says_how_many_wait(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.files["logs/wren-causeway-2.csv"] = b""
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    found = finding(wb, "causeway")
    assert (found.n_a, found.n_b) == (2, 3)
    assert any("wait" in caveat.words for caveat in found.caveats)


def test_tests_and_setups_that_are_not_compared_are_left_out(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["study"]["tests"] = ["causeway"]
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert {f.test for f in compare(wb, "quay", now=NOW).comparison.findings} == {"causeway"}


def test_an_unknown_study_is_told_with_the_nearest_one(stocked: Workbench) -> None:
    with pytest.raises(NotFound, match="did you mean 'quay'"):
        compare(stocked, "quays", now=NOW)


# --- exclusions


def test_every_run_left_out_is_shown_with_and_without(stocked: Workbench) -> None:
    before = finding(stocked, "causeway")
    deciding.set_aside(stocked, "wren causeway 1", reason="interrupted", note="", now=NOW)
    comparison = compare(stocked, "quay", now=NOW).comparison
    (left_out,) = comparison.exclusions
    run = find_run(stocked, "wren causeway 1")
    assert (left_out.run, left_out.test, left_out.setup) == (run.run.id, "causeway", "wren")
    assert left_out.value == run.metrics.values["average_fps"]
    (without,), (with_it,) = left_out.findings_without, left_out.findings_with
    assert (without.n_a, with_it.n_a) == (2, 3)
    assert with_it.ratio == pytest.approx(before.ratio, rel=1e-12)
    assert without.ratio == finding(stocked, "causeway").ratio
    assert len(left_out.indexes_without) == len(left_out.indexes_with) > 0


def test_a_decision_taken_back_ends_the_exclusion(stocked: Workbench) -> None:
    deciding.set_aside(stocked, "wren causeway 1", reason="interrupted", note="", now=NOW)
    deciding.take_back(stocked, "wren causeway 1", note="", now=NOW)
    assert compare(stocked, "quay", now=NOW).comparison.exclusions == ()


# --- frozen results


def test_the_same_inputs_are_the_same_frozen_result(stocked: Workbench) -> None:
    first = compare(stocked, "quay", now=NOW).frozen
    before = everything(stocked.path)
    second = compare(stocked, "quay", now=LATER).frozen
    assert (second.id, second.at) == (first.id, NOW)
    assert everything(stocked.path) == before


def test_a_decision_makes_a_new_result_and_the_old_one_stays(stocked: Workbench) -> None:
    first = compare(stocked, "quay", now=NOW).frozen
    deciding.set_aside(stocked, "wren causeway 1", reason="interrupted", note="", now=NOW)
    second = compare(stocked, "quay", now=LATER).frozen
    assert second.id != first.id
    assert second.input_hash != first.input_hash
    assert results_of(stocked, "quay") == (first, second)
    deciding.take_back(stocked, "wren causeway 1", note="", now=LATER)
    assert compare(stocked, "quay", now=LATER).frozen.id == first.id


def test_a_corrected_number_makes_a_new_result(stocked: Workbench, folder: Folder, tmp_path: Path) -> None:
    first = compare(stocked, "quay", now=NOW).frozen
    folder.run("wren render 2")["score"] = 12.01
    import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    assert compare(stocked, "quay", now=LATER).frozen.input_hash != first.input_hash


def test_the_inputs_are_the_same_on_every_workbench(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    with open_workbench(tmp_path / "other.evenhand") as other:
        import_folder(other, small_folder("mole", seed=2).write(tmp_path / "mole"), now=LATER)
        import_folder(other, tmp_path / "study", now=LATER)
        theirs, ours = compare(other, "quay", now=LATER).frozen, compare(stocked, "quay", now=NOW).frozen
    assert (theirs.input_hash, theirs.body) == (ours.input_hash, ours.body)


def test_what_is_frozen_is_what_is_answered(stocked: Workbench) -> None:
    found = compare(stocked, "quay", now=NOW)
    assert json.loads(found.frozen.body) == json.loads(json.dumps(comparison_answer(found.comparison)))
