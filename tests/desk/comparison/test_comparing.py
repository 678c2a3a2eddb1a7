"""What a comparison says and under which inputs it is frozen."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.desk.small_folder import LATER, NOW, Folder, everything, small_folder

from evenhand.desk.answers import comparison_answer
from evenhand.desk.comparison.comparing import Compared, compare, compared_answer
from evenhand.desk.comparison.recalling import frozen_result, frozen_results
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.opening import open_desk
from evenhand.desk.runs import deciding
from evenhand.desk.runs.deciding import find_run
from evenhand.desk.runs.said import Said
from evenhand.desk.study.histories import study_history
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


@pytest.mark.parametrize(("other", "told"), [("plover causeway 1", True), ("plover render 1", False)])
def test_a_place_that_two_runs_share_is_told_where_both_are_of_one_test(
    wb: Workbench, folder: Folder, tmp_path: Path, other: str, told: bool
) -> None:
    by_label = {run["label"]: run for run in folder.document["runs"]}
    by_label[other]["order"] = by_label["wren causeway 1"]["order"]
    assert import_folder(wb, folder.write(tmp_path / "study"), now=NOW).shared_orders
    keys = {c.key for f in compare(wb, "quay", now=NOW).comparison.findings for c in f.caveats}
    assert ("order-shared" in keys) is told


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
    deciding.set_aside(stocked, "wren causeway 1", reason="interrupted", said=Said(now=NOW))
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
    deciding.set_aside(stocked, "wren causeway 1", reason="interrupted", said=Said(now=NOW))
    deciding.take_back(stocked, "wren causeway 1", said=Said(now=NOW))
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
    deciding.set_aside(stocked, "wren causeway 1", reason="interrupted", said=Said(now=NOW))
    second = compare(stocked, "quay", now=LATER).frozen
    assert second.id != first.id
    assert second.input_hash != first.input_hash
    assert results_of(stocked, "quay") == (first, second)
    deciding.take_back(stocked, "wren causeway 1", said=Said(now=LATER))
    assert compare(stocked, "quay", now=LATER).frozen.id == first.id


def test_a_corrected_number_makes_a_new_result(stocked: Workbench, folder: Folder, tmp_path: Path) -> None:
    first = compare(stocked, "quay", now=NOW).frozen
    folder.run("wren render 2")["score"] = 12.01
    import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    assert compare(stocked, "quay", now=LATER).frozen.input_hash != first.input_hash


def test_many_runs_that_came_twice_are_told_in_one_sentence_with_its_weight_first(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    for setup in ("wren", "plover"):
        for number in (1, 2, 3):
            folder.run(f"{setup} render {number}")["boot"] = f"{setup}-{number + 6}"
    import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    (words,) = compare(stocked, "quay", now=LATER).earlier
    assert words.startswith("Six of 24 counting runs may be there twice: 12 runs count under six labels. ")
    assert words.count("' (") == 6


def test_the_minutes_of_a_test_are_among_the_inputs(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    first = compare(stocked, "quay", now=NOW).frozen
    folder.document["tests"][2]["minutes"] = 40.0
    import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    assert compare(stocked, "quay", now=LATER).frozen.input_hash != first.input_hash


def test_what_is_said_of_runs_is_among_the_inputs(stocked: Workbench, folder: Folder, tmp_path: Path) -> None:
    """Otherwise an honest result would be told as one that its inputs do not give."""
    folder.run("wren render 1")["boot"] = "wren-9"
    import_folder(stocked, folder.write(tmp_path / "study"), now=NOW)
    first = compare(stocked, "quay", now=NOW)
    folder.run("wren render 1")["label"] = "wren render 1, boot corrected"
    import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    second = compare(stocked, "quay", now=LATER)
    assert (len(first.earlier), second.earlier, second.disagreeing) == (1, (), ())
    assert first.frozen.input_hash != second.frozen.input_hash


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
    assert found.frozen is not None
    answer = json.loads(found.frozen.body)
    assert answer == json.loads(json.dumps(compared_answer(found)))
    assert comparison_answer(found.comparison).items() <= compared_answer(found).items()


def test_on_a_workbench_that_may_only_be_read_nothing_is_frozen(
    stocked: Workbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    stocked.close()
    before = everything(stocked.path)
    monkeypatch.setattr("os.access", lambda *_, **__: False)
    with open_desk(stocked.path, create=False) as wb:
        found = compare(wb, "quay", now=NOW)
    assert found.frozen is None
    assert found.comparison.findings
    assert everything(stocked.path) == before


def test_what_compared_nothing_is_not_frozen(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    """A number for an empty answer would stand among the findings of a study."""
    folder.document["runs"] = [r for r in folder.document["runs"] if r["setup"] == "ayre"]
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    found = compare(wb, "quay", now=NOW)
    assert found.nothing
    assert found.frozen is None
    assert frozen_results(wb, "quay") == ()


def test_a_result_that_was_frozen_before_is_named_where_nothing_may_be_written(
    stocked: Workbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = compare(stocked, "quay", now=NOW).frozen
    stocked.close()
    monkeypatch.setattr("os.access", lambda *_, **__: False)
    with open_desk(stocked.path, create=False) as wb:
        assert compare(wb, "quay", now=LATER).frozen == first


# --- results recalled


def test_a_frozen_result_is_recalled_as_it_was_and_says_whether_it_still_stands(stocked: Workbench) -> None:
    first = compare(stocked, "quay", now=NOW)
    assert first.frozen is not None
    deciding.set_aside(stocked, "wren causeway 1", reason="interrupted", said=Said(now=NOW))
    second = compare(stocked, "quay", now=LATER).frozen
    assert second is not None
    known = frozen_results(stocked, "quay")
    assert [(one.frozen.id, one.stands) for one in known] == [(first.frozen.id, False), (second.id, True)]
    again = frozen_result(stocked, "quay", first.frozen.id)
    assert again.answer == json.loads(json.dumps(compared_answer(first)))


def test_results_of_another_version_do_not_stand(stocked: Workbench, monkeypatch: pytest.MonkeyPatch) -> None:
    compare(stocked, "quay", now=NOW)
    monkeypatch.setattr("evenhand.desk.comparison.recalling.CODE_VERSION", "99.0")
    assert [one.stands for one in frozen_results(stocked, "quay")] == [False]


def test_a_result_that_is_not_there_is_told_with_those_that_are(stocked: Workbench) -> None:
    with pytest.raises(NotFound, match="evenhand compare quay"):
        frozen_result(stocked, "quay", 1)
    compare(stocked, "quay", now=NOW)
    with pytest.raises(NotFound, match="no frozen result 7; known: 1"):
        frozen_result(stocked, "quay", 7)
    with pytest.raises(NotFound, match="did you mean 'quay'"):
        frozen_results(stocked, "quai")


# --- terms that were changed


def imported_again(wb: Workbench, folder: Folder, tmp_path: Path) -> Compared:
    import_folder(wb, folder.write(tmp_path / "study"), now=LATER)
    return compare(wb, "quay", now=LATER)


def test_a_study_left_as_it_came_has_no_changed_terms(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    assert imported_again(stocked, folder, tmp_path).changed_terms == ()
    assert study_history(stocked, "quay").changes == ()


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("margin", 0.08, "The margin was changed from 3\xa0% to 8\xa0%"),
        ("boot_allowance", 0.0, "The allowance for one boot was changed from 1\xa0% to 0\xa0%"),
        (
            "ambient_c",
            [20.0, 30.0],
            "The room temperature range was changed from 22 to 26\xa0°C to 20 to 30\xa0°C",
        ),
        ("weights", {"render": 2.0}, "The weights were changed from none to Night render 2.00"),
        ("setups", ["plover", "wren"], "The list of setups was changed from Wren, Plover to Plover, Wren"),
        (
            "tests",
            ["render"],
            "The list of tests was changed from Salt Causeway, Nine Tramlines, Night render to Night render",
        ),
    ],
)
def test_a_term_changed_once_runs_were_on_record_is_a_reservation(
    stocked: Workbench, folder: Folder, tmp_path: Path, field: str, value: object, words: str
) -> None:
    before = compare(stocked, "quay", now=NOW).frozen
    folder.document["study"][field] = value
    found = imported_again(stocked, folder, tmp_path)
    (term,) = found.changed_terms
    assert term.words == f"{words} on 2031-05-05, after 18 runs were on record."
    assert term.runs == 18
    assert before is not None
    assert found.frozen is not None
    assert found.frozen.input_hash != before.input_hash
    assert json.loads(found.frozen.body)["changed_terms"][0]["words"] == term.words


def test_a_term_that_was_moved_back_is_told_twice(stocked: Workbench, folder: Folder, tmp_path: Path) -> None:
    first = compare(stocked, "quay", now=NOW).frozen
    folder.document["study"]["margin"] = 0.08
    imported_again(stocked, folder, tmp_path)
    folder.document["study"]["margin"] = 0.03
    found = imported_again(stocked, folder, tmp_path)
    assert [term.change.after for term in found.changed_terms] == [0.08, 0.03]
    assert first is not None
    assert found.frozen is not None
    assert found.frozen.input_hash != first.input_hash


def test_a_term_changed_before_any_run_is_none_of_it(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    runs, folder.document["runs"] = folder.runs, []
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    folder.document["study"]["margin"] = 0.05
    folder.document["runs"] = runs
    assert imported_again(wb, folder, tmp_path).changed_terms == ()
    assert [(each.field, each.before, each.after) for each in study_history(wb, "quay").changes] == [
        ("margin", 0.03, 0.05)
    ]


def test_what_a_test_compares_is_a_term_too_and_its_name_is_not(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["tests"][0]["metric"] = "low_1pct"
    folder.document["tests"][0]["also"] = []
    folder.document["tests"][2]["name"] = "Night work"
    found = imported_again(stocked, folder, tmp_path)
    assert {(term.change.key, term.change.field) for term in found.changed_terms} == {
        ("causeway", "metric"),
        ("causeway", "also"),
    }
    changes = study_history(stocked, "quay").changes
    assert ("test", "render", "name") in {(each.record, each.key, each.field) for each in changes}


# --- runs left from before a correction


def test_a_run_whose_boot_was_corrected_and_its_earlier_self_are_told(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    assert compare(stocked, "quay", now=NOW).earlier == ()
    folder.run("wren render 1")["boot"] = "wren-9"
    found = imported_again(stocked, folder, tmp_path)
    (words,) = found.earlier
    assert words.startswith("Two runs labelled 'wren render 1' count (")
    old = next(r for r in found.record.runs if (r.run.label, r.run.boot) == ("wren render 1", "wren-1"))
    deciding.set_aside(stocked, old.run.id, reason="duplicate", said=Said(note="boot corrected", now=LATER))
    assert compare(stocked, "quay", now=LATER).earlier == ()
