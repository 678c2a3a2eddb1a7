"""A measured window is stored with all that follows from it: numbers, faults, history, and the way back."""

from __future__ import annotations

import re
from collections.abc import Mapping
from copy import deepcopy
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest
from tests.desk.conftest import Bring
from tests.desk.small_folder import LATER, NOW, Folder, changed_tables, everything, frame_log, frames

from evenhand.desk.comparison.charting import draw_study
from evenhand.desk.comparison.comparing import compare
from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.logs.exporting import export_study
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.names import names_of
from evenhand.desk.on_record import load_study
from evenhand.desk.runs.cut_preview import preview_cut
from evenhand.desk.runs.cutting import CutAsked, cut_as_asked, cut_run, cut_test, sight_of_window, undo_cut
from evenhand.desk.runs.deciding import find_run, set_aside
from evenhand.desk.runs.said import Said
from evenhand.desk.study.briefing import change_test
from evenhand.desk.study.terms import changed_terms
from evenhand.desk.study.undoing import undo
from evenhand.desk.upkeep import check_workbench
from evenhand.errors import BadRecord, Overtaken
from evenhand.findings.finding import Caveat
from evenhand.records.faults import Severity
from evenhand.records.runs import RunState
from evenhand.records.tests import Test
from evenhand.records.windows import Window
from evenhand.store import shelves
from evenhand.store.history import history_of
from evenhand.store.workbench import Workbench, open_workbench

LOADS_S = 2.0  # of a scene that loads at first, far slower than it plays
CUT = Window(start_s=2.5, reason="the scene loads at first", by="Ada")
FIVE = Window(start_s=0.5, end_s=6.0)
OWN = Window(end_s=5.5, reason="a message came up at 6 s", by="Ada")


@pytest.fixture
def loading(folder: Folder) -> Folder:
    """The small study; each log of the causeway begins with two seconds of loading."""
    slow = np.full(int(LOADS_S / 0.050), 50.0)
    for run in folder.runs:
        if run["test"] == "causeway":
            seed = [3, len(run["label"]), run["order"]]
            fps = 100.0 if run["setup"] == "wren" else 125.0
            folder.files[run["log"]] = frame_log(np.concatenate([slow, frames(fps, seed=seed)]))  # type: ignore[arg-type]
    return folder


@pytest.fixture
def loaded(bring: Bring, loading: Folder) -> Workbench:
    return bring(loading)


def average(wb: Workbench, label: str) -> float:
    return find_run(wb, label).metrics.values["average_fps"]


def numbers(wb: Workbench) -> Mapping[str, object]:
    return {each.run.label: each.metrics for each in load_study(wb, "quay").runs}


def caveats(wb: Workbench) -> list[Caveat]:
    return [c for f in findings_now(load_study(wb, "quay")).findings for c in f.caveats]


# --- a test


def test_every_run_of_the_test_is_measured_in_the_window(loaded: Workbench) -> None:
    assert average(loaded, "wren causeway 1") < 90
    done = cut_test(loaded, "causeway", CUT, now=LATER)
    assert done.runs == 6
    averages = [average(loaded, f"wren causeway {number}") for number in (1, 2, 3)]
    assert averages == pytest.approx([100.0] * 3, rel=0.02)
    assert average(loaded, "plover causeway 2") == pytest.approx(125.0, rel=0.02)


def test_other_tests_stay_as_they_were(loaded: Workbench) -> None:
    before = numbers(loaded)["wren tramlines 1"]
    cut_test(loaded, "causeway", CUT, now=LATER)
    assert numbers(loaded)["wren tramlines 1"] == before


def test_a_cut_gives_the_numbers_that_an_import_with_that_window_gives(
    loaded: Workbench, loading: Folder, tmp_path: Path
) -> None:
    cut_test(loaded, "causeway", CUT, now=LATER)
    with open_workbench(tmp_path / "other.evenhand") as other:
        import_folder(other, with_window(loading, CUT).write(tmp_path / "cut"), now=NOW)
        assert numbers(other) == numbers(loaded)


def with_window(folder: Folder, window: Window) -> Folder:
    cut = deepcopy(folder)
    cut.document["tests"][0]["window"] = {"start_s": window.start_s, "reason": window.reason, "by": window.by}
    return cut


def test_who_cut_when_and_why_is_history_and_a_changed_term(loaded: Workbench) -> None:
    cut_test(loaded, "causeway", CUT, now=LATER)
    last = history_of(loaded, "tests", "causeway")[-1]
    assert last.at == LATER
    assert last.after["window"] == {
        "start_s": 2.5, "end_s": None, "reason": "the scene loads at first", "by": "Ada",
    }  # fmt: skip
    (term,) = changed_terms(loaded, load_study(loaded, "quay"))
    assert term.words.replace("\u00a0", " ") == (
        "The measured window in Salt Causeway was changed from the whole log to 2.5 s to the end "
        "(“the scene loads at first”) on 2031-05-05, after 18 runs were on record."
    )


def test_what_is_measured_stands_under_every_picture(loaded: Workbench) -> None:
    cut_test(loaded, "causeway", CUT, now=LATER)
    full, brief = names_of(load_study(loaded, "quay")).measured
    assert full.replace("\u00a0", " ") == "Salt Causeway measured from 2.5 s to the end of each run."
    assert brief == "One test measured in part."
    for one in draw_study(loaded, "quay", now=LATER):
        told = drawn_words(one.picture.svg)
        assert ("measured" in told.lower()) == (one.name not in ("runs-tramlines", "runs-render"))


def drawn_words(svg: str) -> str:
    """What stands on a picture to be read."""
    return " ".join(re.findall(r"<text[^>]*>([^<]*)</text>", svg))


def test_a_window_like_the_one_that_stands_changes_nothing(loaded: Workbench) -> None:
    cut_test(loaded, "causeway", CUT, now=LATER)
    before = everything(loaded.path)
    assert cut_test(loaded, "causeway", CUT, now=LATER + timedelta(days=1)).change == 0
    assert everything(loaded.path) == before


def test_it_is_undone_with_all_its_numbers(loaded: Workbench) -> None:
    before = numbers(loaded)
    done = cut_test(loaded, "causeway", CUT, now=LATER)
    assert numbers(loaded) != before
    undo_cut(loaded, done.change, now=LATER)
    assert numbers(loaded) == before
    assert len(history_of(loaded, "tests", "causeway")) == 3


def test_undoing_a_change_of_the_test_measures_again_as_well(loaded: Workbench) -> None:
    before = numbers(loaded)
    cut_test(loaded, "causeway", CUT, now=LATER)
    undo(loaded, "tests", "causeway", now=LATER)
    assert numbers(loaded) == before


def test_undoing_what_was_changed_again_since_is_refused(loaded: Workbench) -> None:
    done = cut_test(loaded, "causeway", CUT, now=LATER)
    cut_test(loaded, "causeway", FIVE, now=LATER)
    with pytest.raises(Overtaken, match="changed again since"):
        undo_cut(loaded, done.change, now=LATER)


def test_what_was_no_cut_is_not_undone_as_one(loaded: Workbench) -> None:
    (first,) = history_of(loaded, "tests", "causeway")
    with pytest.raises(BadRecord, match="not one of a measured window"):
        undo_cut(loaded, first.id, now=LATER)


def test_a_workbench_with_windows_is_sound(loaded: Workbench) -> None:
    cut_test(loaded, "causeway", CUT, now=LATER)
    cut_run(loaded, find_run(loaded, "wren causeway 2").run.id, Window(reason="all of it counts"), now=LATER)
    assert check_workbench(loaded.path).sound


# --- what is refused


@pytest.mark.parametrize(
    ("window", "said"),
    [
        (Window(start_s=60.0), "and the window begins at 60.0"),
        (Window(end_s=60.0), "and the window ends at 60.0"),
        (Window(start_s=2.0, end_s=2.5), "would be left, and at least 5.0"),
    ],
)
def test_a_window_that_does_not_fit_a_sibling_is_refused_and_nothing_is_changed(
    loaded: Workbench, window: Window, said: str
) -> None:
    before = everything(loaded.path)
    with pytest.raises(BadRecord, match=said) as refused:
        cut_test(loaded, "causeway", window, now=LATER)
    assert "wren causeway 1" in refused.value.found
    assert "set the short run aside" in refused.value.todo
    assert everything(loaded.path) == before


def test_a_run_that_was_set_aside_holds_no_window_up(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    folder.files["logs/wren-causeway-2.csv"] = frame_log(frames(100.0, seed=9, n=300))
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    short = Window(end_s=6.0)
    with pytest.raises(BadRecord, match=r"wren causeway 2 lasts 3\.0"):
        cut_test(wb, "causeway", short, now=LATER)
    set_aside(wb, "wren causeway 2", reason="damaged-log", said=Said(note="", now=LATER))
    assert cut_test(wb, "causeway", short, now=LATER).change


def test_a_score_cannot_be_cut(stocked: Workbench) -> None:
    with pytest.raises(BadRecord, match="no frames that could be cut"):
        cut_test(stocked, "render", CUT, now=LATER)


def test_a_test_that_is_changed_by_its_form_is_checked_like_a_cut(stocked: Workbench) -> None:
    with pytest.raises(BadRecord, match=r"ends at 60\.0"):
        change_test(stocked, "causeway", {"window": {"end_s": 60.0}}, now=LATER)
    assert shelves.one(stocked, Test, "causeway").window is None


# --- one run


def test_a_run_of_its_own_window_needs_a_reason(stocked: Workbench) -> None:
    with pytest.raises(BadRecord, match="nothing says why"):
        cut_run(stocked, find_run(stocked, "wren causeway 2").run.id, Window(end_s=5.5), now=LATER)


def test_its_window_stands_before_that_of_its_test(stocked: Workbench) -> None:
    run = find_run(stocked, "wren causeway 2").run.id
    cut_run(stocked, run, OWN, now=LATER)
    assert cut_test(stocked, "causeway", FIVE, now=LATER).runs == 5
    lasts = {each.run.label: each.metrics.values["duration_s"] for each in load_study(stocked, "quay").runs
             if each.run.test == "causeway" and each.run.setup == "wren"}  # fmt: skip
    assert lasts == pytest.approx({f"wren causeway {n}": 5.5 for n in (1, 2, 3)}, abs=0.05)
    cut_run(stocked, run, None, now=LATER)
    assert find_run(stocked, "wren causeway 2").run.window is None


def test_the_reason_stands_as_a_reservation_of_each_finding_for_as_long_as_it_is_so(
    stocked: Workbench,
) -> None:
    run = find_run(stocked, "wren causeway 2").run.id
    cut_run(stocked, run, OWN, now=LATER)
    told = {c.told() for c in caveats(stocked) if c.key == "cut-otherwise"}
    assert told == {"wren: one run is cut otherwise than its siblings, because a message came up at 6 s"}
    cut_run(stocked, run, None, now=LATER)
    assert not [c for c in caveats(stocked) if c.key == "cut-otherwise"]


def test_a_reason_with_braces_is_told_as_written(stocked: Workbench) -> None:
    run = find_run(stocked, "wren causeway 2").run.id
    cut_run(stocked, run, Window(end_s=6.0, reason="{setups[1]} hung"), now=LATER)
    assert any("because {setups[1]} hung" in c.told() for c in caveats(stocked))


def test_a_window_like_its_siblings_is_no_reservation(stocked: Workbench) -> None:
    cut_run(stocked, find_run(stocked, "wren causeway 2").run.id, OWN, now=LATER)
    cut_test(stocked, "causeway", Window(end_s=5.5), now=LATER)
    assert not [c for c in caveats(stocked) if c.key == "cut-otherwise"]


def test_a_run_is_uncut_by_undoing(stocked: Workbench) -> None:
    before = numbers(stocked)
    done = cut_run(stocked, find_run(stocked, "wren causeway 2").run.id, OWN, now=LATER)
    undo_cut(stocked, done.change, now=LATER)
    assert numbers(stocked) == before


def test_who_cuts_what_was_cut_meanwhile_learns_of_it(stocked: Workbench) -> None:
    run = find_run(stocked, "wren causeway 2").run
    seen = sight_of_window(stocked, run)
    cut_as_asked(stocked, CutAsked(run=run.id, window=FIVE, seen=seen), now=LATER)
    with pytest.raises(Overtaken):
        cut_as_asked(stocked, CutAsked(run=run.id, window=CUT, seen=seen), now=LATER)


# --- triage


def test_a_trimmed_copy_is_still_found_where_both_are_cut(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    whole = frames(100.0, seed=4, n=3000)
    folder.files["logs/wren-causeway-1.csv"] = frame_log(whole)
    folder.files["copy.csv"] = frame_log(whole[1900:])
    for number in (2, 3):
        folder.files[f"logs/wren-causeway-{number}.csv"] = frame_log(frames(100.0, seed=40 + number, n=3000))
    folder.runs.append({"test": "causeway", "setup": "wren", "label": "copy", "log": "copy.csv"})
    folder.document["tests"][0]["window"] = {"end_s": 6.0}
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    # What is measured of the one and of the other has not a frame in common.
    held = find_run(wb, "copy")
    assert "twin" in {fault.kind for fault in held.faults}
    assert held.state is RunState.IN_DOUBT


def test_logs_that_ran_on_are_of_one_length_once_they_are_cut(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.files["logs/wren-causeway-2.csv"] = frame_log(frames(100.0, seed=9, n=1100))
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert "length" in {fault.kind for fault in find_run(wb, "wren causeway 2").faults}
    cut_test(wb, "causeway", Window(end_s=6.0), now=LATER)
    assert find_run(wb, "wren causeway 2").faults == ()


def test_the_length_of_a_run_that_is_cut_otherwise_is_no_news(stocked: Workbench) -> None:
    done = cut_run(stocked, find_run(stocked, "wren causeway 2").run.id, OWN, now=LATER)
    assert done.change
    states = {each.state for each in load_study(stocked, "quay").runs}
    assert states == {RunState.LANDED}


# --- coming and going


def test_an_export_brings_windows_and_their_history_along(stocked: Workbench, tmp_path: Path) -> None:
    cut_test(stocked, "causeway", FIVE, now=LATER)
    cut_run(stocked, find_run(stocked, "wren causeway 2").run.id, OWN, now=LATER)
    export_study(stocked, "quay", tmp_path / "out")
    with open_workbench(tmp_path / "other.evenhand") as other:
        import_folder(other, tmp_path / "out", now=LATER)
        assert numbers(other) == numbers(stocked)
        assert find_run(other, "wren causeway 2").run.window == OWN
        assert shelves.one(other, Test, "causeway").window == FIVE
        here, there = (changed_terms(wb, load_study(wb, "quay")) for wb in (stocked, other))
        assert [term.words for term in here] == [term.words for term in there]
        assert compare(other, "quay", now=LATER).comparison == compare(stocked, "quay", now=LATER).comparison


def test_a_folder_that_says_nothing_leaves_what_was_decided(stocked: Workbench, tmp_path: Path) -> None:
    cut_test(stocked, "causeway", FIVE, now=LATER)
    cut_run(stocked, find_run(stocked, "wren causeway 2").run.id, OWN, now=LATER)
    before = everything(stocked.path)
    import_folder(stocked, tmp_path / "study", now=LATER)
    assert changed_tables(before, everything(stocked.path)) == set()


def test_a_folder_that_says_another_window_cuts_what_is_on_record(
    loaded: Workbench, loading: Folder, tmp_path: Path
) -> None:
    import_folder(loaded, with_window(loading, CUT).write(tmp_path / "study"), now=LATER)
    assert average(loaded, "wren causeway 1") == pytest.approx(100.0, rel=0.02)
    import_folder(loaded, with_window(loading, Window()).write(tmp_path / "study"), now=LATER)
    assert average(loaded, "wren causeway 1") < 90


# --- looking before


def test_a_preview_tells_what_storing_does_and_stores_nothing(loaded: Workbench) -> None:
    record = load_study(loaded, "quay")
    before = everything(loaded.path)
    asked = CutAsked(run=find_run(loaded, "wren causeway 2").run.id, window=CUT)
    seen = preview_cut(loaded, record, asked)
    assert everything(loaded.path) == before
    assert len(seen.touched) == 6
    assert not seen.unfit
    moved = [(one.ratio, other.ratio) for one, other in seen.findings()]
    cut_as_asked(loaded, asked, now=LATER)
    now = load_study(loaded, "quay")
    assert {e.run.id: e.metrics for e in seen.after.runs} == {e.run.id: e.metrics for e in now.runs}
    after = [f.ratio for f in findings_now(now).findings if f.test == "causeway"]
    assert [other for _, other in moved] == after
    assert [one for one, _ in moved] != after


def test_a_preview_of_one_run_leaves_its_siblings(loaded: Workbench) -> None:
    run = find_run(loaded, "wren causeway 2").run.id
    seen = preview_cut(loaded, load_study(loaded, "quay"), CutAsked(run=run, window=OWN, every=False))
    assert seen.touched == (run,)


def test_a_preview_says_which_run_a_window_does_not_fit(loaded: Workbench) -> None:
    run = find_run(loaded, "wren causeway 2").run.id
    seen = preview_cut(loaded, load_study(loaded, "quay"), CutAsked(run=run, window=Window(start_s=60.0)))
    assert len(seen.unfit) == 6
    assert "wren causeway 2 lasts" in seen.unfit[run]


@pytest.mark.parametrize(
    ("window", "side", "severity"),
    [
        ({"start_s": 1.0, "end_s": 3000.0}, "ends at 3,000.0 s", Severity.IN_DOUBT),
        ({"start_s": 500.0}, "begins at 500.0 s", Severity.BLOCKS),
    ],
)
def test_a_folders_window_past_a_log_holds_its_runs_and_is_named(
    wb: Workbench, folder: Folder, tmp_path: Path, window: Mapping[str, float], side: str, severity: Severity
) -> None:
    folder.document["tests"][0]["window"] = window
    report = import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert len(report.waiting) == 6
    first = find_run(wb, "wren causeway 1").faults[0]
    assert (first.kind, first.severity) == ("window-past-log", severity)
    assert first.evidence.replace("\N{NO-BREAK SPACE}", " ").endswith(f" s, and the window {side}.")
    assert first.todo.startswith("Correct the window of Salt Causeway")
    assert "no-headline-number" not in {fault.kind for fault in find_run(wb, "wren causeway 1").faults}
    folder.document["tests"][0]["window"] = {"start_s": 0.5}
    assert import_folder(wb, folder.write(tmp_path / "study"), now=LATER).waiting == ()
