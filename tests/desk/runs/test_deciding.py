"""Decisions about runs: what they need, what they change, and that nothing is ever deleted."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from tests.desk.conftest import Bring
from tests.desk.small_folder import LATER, NOW, Folder, everything

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.runs import deciding
from evenhand.desk.runs.deciding import find_run, run_history
from evenhand.desk.runs.said import Said
from evenhand.errors import BadRecord, NotFound
from evenhand.records.runs import Reason, RunState
from evenhand.store.workbench import Workbench

HELD = "plover causeway 3"


@pytest.fixture
def doubtful(bring: Bring, folder: Folder) -> Workbench:
    """The small study with one run on another driver than its siblings: in doubt, not blocked."""
    for run in folder.runs:
        if (run["test"], run["setup"]) == ("causeway", "plover"):
            run["stamps"] = {"driver": "31.6" if run["label"] == HELD else "31.4"}
    wb = bring(folder)
    assert kinds(wb, HELD) == ["mixed-stamps"]
    return wb


@pytest.fixture
def blocked(bring: Bring, folder: Folder) -> Workbench:
    """The small study with a copy of a log among its runs: blocked."""
    folder.files["copy.csv"] = folder.files["logs/wren-causeway-2.csv"]
    folder.runs.append({"test": "causeway", "setup": "wren", "label": "copy", "log": "copy.csv"})
    return bring(folder)


def kinds(wb: Workbench, label: str) -> list[str]:
    return [fault.kind for fault in find_run(wb, label).faults]


def state(wb: Workbench, label: str) -> RunState:
    return find_run(wb, label).state


# --- keep


def test_a_run_in_doubt_may_be_kept_without_a_word(doubtful: Workbench) -> None:
    assert state(doubtful, HELD) is RunState.IN_DOUBT
    decided = deciding.keep(doubtful, HELD, said=Said(now=NOW))
    assert decided.run.state is RunState.KEPT
    assert decided.run.decision is not None
    assert decided.run.decision.over == ("mixed-stamps",)


def test_a_blocked_run_may_be_kept_only_with_a_note_that_says_why(blocked: Workbench) -> None:
    with pytest.raises(BadRecord, match="'Same recording as another run' blocks this run"):
        deciding.keep(blocked, "copy", said=Said(note="  ", now=NOW))
    assert state(blocked, "copy") is RunState.IN_DOUBT
    assert deciding.run_history(blocked, "copy").decisions == ()
    deciding.keep(blocked, "copy", said=Said(note="the scene is canned", now=NOW))
    assert state(blocked, "copy") is RunState.KEPT


def test_a_kept_run_is_in_doubt_again_when_a_new_kind_of_fault_shows(
    doubtful: Workbench, folder: Folder, tmp_path: Path
) -> None:
    deciding.keep(doubtful, HELD, said=Said(now=NOW))
    folder.run(HELD)["ambient_c"] = 31.0
    import_folder(doubtful, folder.write(tmp_path / "study"), now=LATER)
    assert set(kinds(doubtful, HELD)) > {"mixed-stamps"}
    assert state(doubtful, HELD) is RunState.IN_DOUBT
    deciding.keep(doubtful, HELD, said=Said(note="the window was open, the clock held", now=LATER))
    assert state(doubtful, HELD) is RunState.KEPT


def test_a_decision_keeps_the_faults_it_was_made_on_as_they_were_told_then(
    doubtful: Workbench, folder: Folder, tmp_path: Path
) -> None:
    (then,) = find_run(doubtful, HELD).faults
    deciding.keep(doubtful, HELD, said=Said(now=NOW))
    folder.run("plover causeway 1")["stamps"] = {"driver": "31.6"}
    import_folder(doubtful, folder.write(tmp_path / "study"), now=LATER)
    now = [fault.evidence for fault in find_run(doubtful, HELD).faults]
    assert then.evidence not in now
    (ground,) = run_history(doubtful, HELD).decisions[0].grounds
    assert (ground.kind, ground.title, ground.severity) == (then.kind, then.title, then.severity)
    assert (ground.evidence, ground.numbers) == (then.evidence, then.numbers)


def test_notes_are_among_the_grounds_though_they_do_not_hold_a_run(blocked: Workbench) -> None:
    decided = deciding.set_aside(blocked, "wren causeway 2", reason="duplicate", said=Said(now=NOW))
    assert decided.run.decision is not None
    assert decided.run.decision.over == ()
    assert [ground.kind for ground in decided.run.decision.grounds] == ["twin"]


# --- set aside


def test_a_run_set_aside_stays_on_record_with_its_reason(doubtful: Workbench) -> None:
    decided = deciding.set_aside(
        doubtful, HELD, reason="other-software", said=Said(note="31.6 by mistake", now=NOW)
    )
    assert decided.run.state is RunState.SET_ASIDE
    assert decided.run.decision is not None
    assert (decided.run.decision.reason, decided.run.decision.note) == (
        Reason.OTHER_SOFTWARE,
        "31.6 by mistake",
    )
    assert kinds(doubtful, HELD) == ["mixed-stamps"]
    assert decided.run.metrics.values["average_fps"] > 0


def test_an_unknown_reason_is_refused_with_the_nearest_known_one(doubtful: Workbench) -> None:
    with pytest.raises(BadRecord) as told:
        deciding.set_aside(doubtful, HELD, reason="rate-caps", said=Said(now=NOW))
    assert told.value.found == "'rate-caps' is not a reason"
    assert told.value.todo.startswith("did you mean 'rate-cap'? Known: ")
    assert all(reason.value in told.value.todo for reason in Reason)
    with pytest.raises(BadRecord, match="is not a reason") as told:
        deciding.set_aside(doubtful, HELD, reason="too slow", said=Said(now=NOW))
    assert all(reason.value in told.value.todo for reason in Reason)


def test_a_fault_given_as_reason_leads_to_those_that_go_with_it(doubtful: Workbench) -> None:
    with pytest.raises(BadRecord) as told:
        deciding.set_aside(doubtful, HELD, reason="twin", said=Said(now=NOW))
    assert told.value.todo == "'twin' is what was found; a reason that goes with it: duplicate"


def test_the_reason_other_needs_words(doubtful: Workbench) -> None:
    with pytest.raises(BadRecord, match="the reason 'other' needs words"):
        deciding.set_aside(doubtful, HELD, reason="other", said=Said(now=NOW))
    assert state(doubtful, HELD) is RunState.IN_DOUBT


def test_siblings_are_judged_again_without_it(blocked: Workbench) -> None:
    assert kinds(blocked, "wren causeway 2") == ["twin"]  # a note: another run is a copy of this one
    deciding.set_aside(blocked, "copy", reason="duplicate", said=Said(now=NOW))
    assert kinds(blocked, "wren causeway 2") == []
    assert kinds(blocked, "copy") == ["twin"]


def test_a_run_that_nothing_was_found_on_counts_as_a_sibling_no_more_once_set_aside(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    """Two runs on one driver and one on another: the odd one out changes with who is left."""
    for run, driver in (
        ("wren causeway 1", "31.4"),
        ("wren causeway 2", "31.4"),
        ("wren causeway 3", "31.6"),
    ):
        folder.run(run)["stamps"] = {"driver": driver}
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert state(wb, "wren causeway 3") is RunState.IN_DOUBT
    for label in ("wren causeway 1", "wren causeway 2"):
        decided = deciding.set_aside(wb, label, reason="wrong-scene", said=Said(now=NOW))
    assert state(wb, "wren causeway 3") is RunState.LANDED
    assert [other.run.label for other in decided.also] == ["wren causeway 3"]


# --- reopen, replace


def test_a_decision_taken_back_puts_the_run_where_its_faults_put_it(doubtful: Workbench) -> None:
    deciding.keep(doubtful, HELD, said=Said(now=NOW))
    assert deciding.take_back(doubtful, HELD, said=Said(now=LATER)).run.state is RunState.IN_DOUBT
    deciding.set_aside(doubtful, "wren causeway 1", reason="interrupted", said=Said(now=NOW))
    decided = deciding.take_back(
        doubtful, "wren causeway 1", said=Said(note="it was the other one", now=LATER)
    )
    assert decided.run.state is RunState.LANDED


@pytest.mark.parametrize("times", [0, 1])
def test_there_must_be_a_decision_to_take_back(doubtful: Workbench, times: int) -> None:
    if times:
        deciding.keep(doubtful, HELD, said=Said(now=NOW))
        deciding.take_back(doubtful, HELD, said=Said(now=LATER))
    with pytest.raises(BadRecord, match="there is no decision to take back"):
        deciding.take_back(doubtful, HELD, said=Said(now=LATER))


def test_a_replaced_run_names_the_run_in_its_place(doubtful: Workbench) -> None:
    other = find_run(doubtful, "plover causeway 2").run
    decided = deciding.replace_run(doubtful, HELD, by=other.id, said=Said(note="driver", now=NOW))
    assert decided.run.state is RunState.REPLACED
    assert decided.run.decision is not None
    assert decided.run.decision.note == f"replaced by {other.id} (plover causeway 2): driver"


@pytest.mark.parametrize("by", [HELD, "wren causeway 1", "plover tramlines 1"])
def test_only_another_run_of_the_same_test_and_setup_may_replace_it(doubtful: Workbench, by: str) -> None:
    with pytest.raises(BadRecord, match="is not another run of the same test on the same setup"):
        deciding.replace_run(doubtful, HELD, by=by, said=Said(now=NOW))


def test_a_run_that_does_not_count_may_not_replace_another(doubtful: Workbench) -> None:
    before = everything(doubtful.path)
    with pytest.raises(BadRecord, match=f"{HELD} does not count itself: it is in doubt") as told:
        deciding.replace_run(doubtful, "plover causeway 1", by=HELD, said=Said(now=NOW))
    assert told.value.todo == "keep it first, or name a run that counts"
    assert everything(doubtful.path) == before
    deciding.set_aside(doubtful, HELD, reason="other-software", said=Said(now=NOW))
    with pytest.raises(BadRecord, match="it is set aside") as told:
        deciding.replace_run(doubtful, "plover causeway 1", by=HELD, said=Said(now=NOW))
    assert told.value.todo == "reopen it first, or name a run that counts"
    deciding.take_back(doubtful, HELD, said=Said(now=NOW))
    deciding.keep(doubtful, HELD, said=Said(now=NOW))
    decided = deciding.replace_run(doubtful, "plover causeway 1", by=HELD, said=Said(now=NOW))
    assert decided.run.state is RunState.REPLACED


# --- how a run is named


def test_a_run_answers_to_its_id_the_start_of_it_and_its_label(stocked: Workbench) -> None:
    run = load_study(stocked, "quay").runs[0].run
    for name in (run.id, run.id[:7], run.label):
        assert find_run(stocked, name).run == run


def test_an_unknown_run_is_told_so(stocked: Workbench) -> None:
    with pytest.raises(NotFound, match="no run is called 'heron'"):
        find_run(stocked, "heron")


def test_an_ambiguous_start_lists_the_runs_it_may_mean(stocked: Workbench) -> None:
    ids = [each.run.id for each in load_study(stocked, "quay").runs]
    first = next(i[0] for i in ids if sum(other.startswith(i[0]) for other in ids) > 1)
    with pytest.raises(NotFound, match=f"more than one run begins with '{first}'") as told:
        find_run(stocked, first)
    shown = [i for i in ids if i.startswith(first)]
    assert all(i in told.value.found for i in shown[:5])


def test_a_label_that_two_runs_share_is_told_with_both(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["study"]["key"] = "mole"
    import_folder(stocked, folder.write(tmp_path / "mole"), now=NOW)
    with pytest.raises(NotFound, match="2 runs are labelled 'wren render 1'"):
        find_run(stocked, "wren render 1")


# --- history


def test_every_decision_is_history_and_nothing_is_deleted(doubtful: Workbench) -> None:
    before = everything(doubtful.path)

    def at(hours: int):
        return NOW + timedelta(hours=hours)

    deciding.keep(doubtful, HELD, said=Said(note="first", now=at(1)))
    deciding.set_aside(
        doubtful, HELD, reason="other-software", said=Said(note="second", now=at(2), masked=True)
    )
    deciding.take_back(doubtful, HELD, said=Said(note="third", now=at(3)))
    deciding.replace_run(doubtful, HELD, by="plover causeway 1", said=Said(note="fourth", now=at(4)))
    made = run_history(doubtful, HELD).decisions
    assert [d.at for d in made] == [at(1), at(2), at(3), at(4)]
    assert [d.state.value for d in made] == ["kept", "set aside", "landed", "replaced"]
    assert [d.masked for d in made] == [False, True, False, False]
    assert [d.over for d in made] == [("mixed-stamps",)] * 4
    after = everything(doubtful.path)
    for table in ("runs", "originals", "original_names", "traces", "metrics", "study_runs", "history"):
        assert after[table] == before[table], table


def test_the_record_of_a_run_says_what_its_numbers_mean_and_what_could_not_be_judged(
    stocked: Workbench,
) -> None:
    history = run_history(stocked, "wren causeway 1")
    assert {d.key for d in history.definitions} == set(history.run.metrics.values)
    assert all(d.meaning for d in history.definitions)
    assert "What sensors tell: no sensor log." in history.unjudged
    assert history.log_names == ("logs/wren-causeway-1.csv",)


def test_a_run_set_aside_is_still_judged_against_those_that_count(doubtful: Workbench) -> None:
    deciding.set_aside(doubtful, HELD, reason="other-software", said=Said(now=NOW))
    assert "What sensors tell: no sensor log." in run_history(doubtful, HELD).unjudged
    assert not any("has no siblings" in line for line in run_history(doubtful, HELD).unjudged)


def test_a_decision_that_fails_halfway_leaves_nothing(
    doubtful: Workbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = everything(doubtful.path)
    monkeypatch.setattr(deciding, "triage_study", lambda *_, **__: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        deciding.keep(doubtful, HELD, said=Said(now=NOW))
    assert everything(doubtful.path) == before
