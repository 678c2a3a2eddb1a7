"""A run that was replaced by one that does not count: nothing stands in for it, and that is said."""

from __future__ import annotations

import pytest
from tests.desk.small_folder import LATER, NOW

from evenhand.desk.bench.masking import decide_masked, masked_id
from evenhand.desk.comparison.comparing import compare
from evenhand.desk.runs import deciding
from evenhand.desk.runs.deciding import find_run
from evenhand.desk.runs.said import Said
from evenhand.records.runs import Decision, Run, RunState
from evenhand.store.decisions import add_decision
from evenhand.store.workbench import Workbench

A, B, C = (f"wren causeway {number}" for number in (1, 2, 3))


@pytest.fixture
def replaced(stocked: Workbench) -> Workbench:
    """The small study with A replaced by B."""
    assert deciding.replace_run(stocked, A, by=B, said=Said(note="wrong save", now=NOW)).warnings == ()
    return stocked


def ids(wb: Workbench, *labels: str) -> list[str]:
    return [find_run(wb, label).run.id for label in labels]


def said(wb: Workbench) -> tuple[str, ...]:
    return compare(wb, "quay", now=LATER).stand_ins


def test_while_the_stand_in_counts_nothing_is_said(replaced: Workbench) -> None:
    assert said(replaced) == ()


def test_setting_the_stand_in_aside_warns_and_is_a_reservation_of_the_comparison(replaced: Workbench) -> None:
    decided = deciding.set_aside(replaced, B, reason="interrupted", said=Said(now=NOW))
    a, b = ids(replaced, A, B)
    (words,) = decided.warnings
    assert words == (
        f"{A} ({a}) was replaced by {B} ({b}), which does not count itself: it is set aside. "
        "Reopen the one or the other, if either is sound."
    )
    assert said(replaced) == decided.warnings
    assert find_run(replaced, A).state is RunState.REPLACED


def test_another_decision_does_not_warn_again(replaced: Workbench) -> None:
    deciding.set_aside(replaced, B, reason="interrupted", said=Said(now=NOW))
    assert deciding.set_aside(replaced, C, reason="interrupted", said=Said(now=NOW)).warnings == ()
    assert len(said(replaced)) == 1


def test_a_stand_in_for_the_stand_in_will_do(replaced: Workbench) -> None:
    assert deciding.replace_run(replaced, B, by=C, said=Said(now=NOW)).warnings == ()
    assert said(replaced) == ()
    decided = deciding.set_aside(replaced, C, reason="interrupted", said=Said(now=NOW))
    assert [words.split(" (")[0] for words in decided.warnings] == [A, B]
    assert all(f"replaced by {C} (" in words for words in decided.warnings)


@pytest.mark.parametrize("label", [A, B])
def test_reopening_either_ends_it(replaced: Workbench, label: str) -> None:
    deciding.set_aside(replaced, B, reason="interrupted", said=Said(now=NOW))
    deciding.take_back(replaced, label, said=Said(now=NOW))
    assert said(replaced) == ()


def test_runs_replaced_by_each_other_are_told_and_do_not_go_round_for_ever(replaced: Workbench) -> None:
    a, b = ids(replaced, A, B)
    add_decision(replaced, Decision(run=b, at=LATER, state=RunState.REPLACED, note=f"replaced by {a} ({A})"))
    assert len(said(replaced)) == 2


def test_a_note_in_a_persons_own_words_names_no_stand_in(stocked: Workbench) -> None:
    (a,) = ids(stocked, A)
    add_decision(stocked, Decision(run=a, at=NOW, state=RunState.REPLACED, note="made again after lunch"))
    assert said(stocked) == ()


def test_while_names_are_masked_the_warning_is_masked_too(replaced: Workbench) -> None:
    (b,) = ids(replaced, B)
    decided = decide_masked(
        replaced,
        masked_id(b),
        lambda run: deciding.set_aside(replaced, run, reason="interrupted", said=Said(now=NOW, masked=True)),
    )
    (words,) = decided.warnings
    assert masked_id(b) in words
    assert "wren" not in words


def test_the_note_keeps_the_label_and_the_reason() -> None:
    run = Run(id="77c0", study="s", test="t", setup="a", label="take (2)")
    assert deciding.replacement_note(run, "") == "replaced by 77c0 (take (2))"
