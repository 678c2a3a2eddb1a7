from __future__ import annotations

from dataclasses import replace

import pytest
from tests.triage.cells import ALONE, GAME, cell, held, judge, kinds, only, plain, run, take, with_first

from evenhand.records.faults import Severity
from evenhand.triage.candidate import Company


@pytest.mark.parametrize(("seconds", "found"), [(27.0, True), (28.6, False), (31.0, False), (32.0, True)])
def test_a_take_may_be_6_per_cent_shorter_or_4_5_longer(seconds: float, found: bool) -> None:
    runs = with_first(cell(), run("1", take(1, seconds=seconds), headline=100.0))
    assert ("length" in kinds(judge(runs)["1"])) is found


def test_a_short_take_is_held_and_its_siblings_are_not() -> None:
    found = judge(with_first(cell(), run("1", take(1, seconds=24.0))))
    assert held(found) == {"1"}
    fault = only(found["1"], "length")
    assert fault.title == "Shorter than its siblings"
    assert plain(fault.evidence).startswith("This take lasts 24.")


def test_where_lengths_scatter_of_themselves_more_is_allowed() -> None:
    scattered = [run(str(i), take(i, seconds=s)) for i, s in enumerate((26.0, 28.5, 31.5, 34.0))]
    assert held(judge([run("9", take(9, seconds=24.0)), *scattered])) == set()


def test_where_length_is_a_result_it_is_not_judged() -> None:
    free = Company(test=replace(GAME, free_length=True))
    assert judge(with_first(cell(), run("1", take(1, seconds=24.0))), free)["1"] == ()


def test_of_two_takes_nobody_can_say_which_is_odd_so_both_are_noted() -> None:
    found = judge([run("1", take(1)), run("2", take(2, seconds=24.0))], ALONE)
    assert [only(found[i], "length").severity for i in "12"] == [Severity.NOTE, Severity.NOTE]
    assert "nobody can say" in only(found["1"], "length").evidence


def test_a_run_held_already_is_no_sibling_to_measure_by() -> None:
    cut_short = [run(str(i), take(i, seconds=20.0) / 1000) for i in range(3)]
    good = [run(str(i), take(i)) for i in range(3, 6)]
    assert held(judge([*cut_short, *good])) == {"0", "1", "2"}
