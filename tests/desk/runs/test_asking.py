"""Decisions as pages and programs ask for them: a stale one is refused, and nothing is overwritten."""

from __future__ import annotations

from threading import Thread

import pytest
from tests.desk.conftest import Bring
from tests.desk.small_folder import LATER, Folder

from evenhand.desk.bench.masking import DecidedMasked, masked_id
from evenhand.desk.runs.asking import (
    KEEP,
    REOPEN,
    REPLACE,
    SET_ASIDE,
    Asked,
    decide_as_asked,
    missing_words,
    sight,
)
from evenhand.desk.runs.deciding import find_run, run_history
from evenhand.errors import BadRecord, EvenhandError, NotFound, Overtaken
from evenhand.records.runs import RunState
from evenhand.store.workbench import Workbench, open_workbench

HELD = "plover causeway 3"
ASIDE = Asked(verb=SET_ASIDE, reason="other-software")


@pytest.fixture
def doubtful(bring: Bring, folder: Folder) -> Workbench:
    """The small study with one run on another driver than its siblings."""
    for run in folder.runs:
        if (run["test"], run["setup"]) == ("causeway", "plover"):
            run["stamps"] = {"driver": "31.6" if run["label"] == HELD else "31.4"}
    return bring(folder)


def seen(wb: Workbench) -> str:
    return sight(find_run(wb, HELD))


def ask(wb: Workbench, verb: str, **about: str) -> None:
    decide_as_asked(wb, HELD, Asked(verb=verb, **about), now=LATER)  # type: ignore[arg-type]


def test_each_decision_does_what_it_says_and_can_be_taken_back(doubtful: Workbench) -> None:
    asked = {
        KEEP: (RunState.KEPT, {}),
        SET_ASIDE: (RunState.SET_ASIDE, {"reason": "other-software"}),
        REPLACE: (RunState.REPLACED, {"by": find_run(doubtful, "plover causeway 1").run.id}),
    }
    for verb, (state, about) in asked.items():
        ask(doubtful, verb, seen=seen(doubtful), **about)
        assert find_run(doubtful, HELD).state is state
        ask(doubtful, REOPEN, seen=seen(doubtful))
        assert find_run(doubtful, HELD).state is RunState.IN_DOUBT
    assert len(run_history(doubtful, HELD).decisions) == 6


def test_who_decides_on_an_older_sight_learns_what_was_decided_meanwhile(doubtful: Workbench) -> None:
    both = seen(doubtful)
    ask(doubtful, SET_ASIDE, reason="other-software", note="driver slipped in", seen=both)
    with pytest.raises(Overtaken) as refused:
        ask(doubtful, KEEP, seen=both)
    assert "it was set aside: a driver, system or version that its siblings did not have" in str(
        refused.value
    )
    assert [d.note for d in run_history(doubtful, HELD).decisions] == ["driver slipped in"]


def test_a_decision_taken_back_meanwhile_is_another_sight_than_none(doubtful: Workbench) -> None:
    first = seen(doubtful)
    ask(doubtful, KEEP)
    ask(doubtful, REOPEN)
    assert seen(doubtful) != first


def test_of_many_who_decide_at_once_one_does(doubtful: Workbench) -> None:
    both, told = seen(doubtful), []

    def decide(verb: str) -> None:
        # Each as a process of its own would: through a workbench of its own.
        with open_workbench(doubtful.path) as own:
            try:
                decide_as_asked(own, HELD, Asked(verb=verb, reason="rig-fault", seen=both), now=LATER)
                told.append("stored")
            except EvenhandError as error:
                told.append(type(error).__name__)

    threads = [Thread(target=decide, args=(verb,)) for verb in (KEEP, SET_ASIDE, KEEP, SET_ASIDE)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(told) == ["Overtaken"] * 3 + ["stored"]
    assert len(run_history(doubtful, HELD).decisions) == 1


def test_a_run_that_lands_beside_it_is_no_reason_to_refuse(doubtful: Workbench) -> None:
    before = find_run(doubtful, HELD)
    other = find_run(doubtful, "wren tramlines 1").run.id
    decide_as_asked(doubtful, other, Asked(verb=SET_ASIDE, reason="rig-fault"), now=LATER)
    ask(doubtful, KEEP, seen=sight(before))
    assert find_run(doubtful, HELD).state is RunState.KEPT


def test_what_is_missing_is_told_by_field(doubtful: Workbench) -> None:
    each = find_run(doubtful, HELD)
    assert missing_words(each, Asked(verb=KEEP)) == {}
    assert list(missing_words(each, Asked(verb=SET_ASIDE))) == ["reason"]
    assert list(missing_words(each, Asked(verb=SET_ASIDE, reason="other"))) == ["note"]
    assert list(missing_words(each, Asked(verb=REPLACE))) == ["by"]
    assert missing_words(each, ASIDE) == {}


def test_a_masked_decision_is_marked_and_answered_without_names(doubtful: Workbench) -> None:
    each = find_run(doubtful, HELD)
    asked = Asked(verb=KEEP, seen=sight(each), masked=True)
    decided = decide_as_asked(doubtful, masked_id(each.run.id), asked, now=LATER)
    assert isinstance(decided, DecidedMasked)
    assert [d.masked for d in run_history(doubtful, HELD).decisions] == [True]
    with pytest.raises(NotFound):
        decide_as_asked(doubtful, HELD, Asked(verb=REOPEN, masked=True), now=LATER)


def test_another_word_than_a_decision_is_refused(doubtful: Workbench) -> None:
    with pytest.raises(BadRecord, match="'keeep' is no decision"):
        ask(doubtful, "keeep")
