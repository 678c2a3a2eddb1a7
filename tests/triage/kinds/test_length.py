from __future__ import annotations

from dataclasses import replace

import numpy as np
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


@pytest.mark.parametrize(
    ("seconds", "odd"),
    [
        ((60, 60, 60, 25, 10), {"4", "5"}),
        ((60, 60, 60, 25, 24), {"4", "5"}),
        ((60, 60, 25, 10), {"3", "4"}),
        ((60, 60, 60, 60, 25), {"5"}),
        ((60, 60, 60, 60, 25, 10, 130), {"5", "6", "7"}),
        ((60, 60, 25, 24.8), set()),
    ],
)
def test_aborted_takes_do_not_hide_each_other(seconds: tuple[float, ...], odd: set[str]) -> None:
    runs = [run(str(i), take(i, seconds=s), headline=100.0) for i, s in enumerate(seconds, start=1)]
    found = judge(runs)
    assert {i for i, faults in found.items() if "length" in kinds(faults)} == odd


def test_what_is_odd_itself_is_named_and_left_out_of_the_sentence() -> None:
    runs = [run(str(i), take(i, seconds=s)) for i, s in enumerate((60, 60, 60, 25, 10), start=1)]
    fault = only(judge(runs)["4"], "length")
    assert "its siblings last 60." in plain(fault.evidence)
    assert "Left out, as odd themselves: run 5 (10." in plain(fault.evidence)
    assert fault.siblings == ("1", "2", "3")


@pytest.mark.parametrize("spread", [0.008, 0.05])
def test_takes_stopped_by_a_free_hand_are_hardly_ever_held(spread: float) -> None:
    rng = np.random.default_rng(11)
    frames = take(1, seconds=90.0, still=True)
    cells = [
        [frames[: int(6000 * np.exp(spread * rng.standard_normal()))] for _ in range(4)] for _ in range(60)
    ]
    found = [judge([run(str(i), t) for i, t in enumerate(takes)]) for takes in cells]
    told = sum("length" in kinds(faults) for cell_found in found for faults in cell_found.values())
    assert told <= 3


def capped(frames: int) -> dict[str, set[str]]:
    rng = np.random.default_rng(3)
    held_back = np.maximum(take(1), 12.0 * np.exp(0.0005 * rng.standard_normal(3000)))[:frames]
    return {i: kinds(faults) for i, faults in judge(with_first(cell(), run("1", held_back))).items()}


def test_as_many_frames_at_a_held_rate_explain_a_longer_take() -> None:
    assert "rate-cap" in capped(3000)["1"]
    assert "length" not in capped(3000)["1"]
    assert {"rate-cap", "length"} <= capped(2000)["1"]


@pytest.mark.parametrize(
    ("factor", "title", "says", "do"),
    [
        (
            1.2,
            "Longer for as many frames",
            "did not run on: its frames took longer",
            "where it lost the time",
        ),
        (
            0.8,
            "Shorter for as many frames",
            "was not stopped: its frames took less time",
            "whether its settings",
        ),
    ],
)
def test_as_many_frames_over_another_time_are_neither_stopped_nor_run_on(
    factor: float, title: str, says: str, do: str
) -> None:
    fault = only(judge(with_first(cell(), run("1", factor * take(1))))["1"], "length")
    assert (fault.title, fault.severity) == (title, Severity.IN_DOUBT)
    assert plain(fault.evidence).endswith(f"It holds 3,000 frames, as they do, so it {says}.")
    assert do in fault.todo
    assert "stopped early" not in fault.todo


def test_nearly_as_many_frames_are_told_beside_theirs() -> None:
    runs = with_first(cell(3, seconds=30.1), run("1", 1.2 * take(1)))
    assert "holds 3,000 frames, they 3,010, so it" in plain(only(judge(runs)["1"], "length").evidence)


def test_great_ratios_are_told_as_multiples_and_short_times_in_milliseconds() -> None:
    brief = only(judge(with_first(cell(2), run("1", take(1)[:20])))["1"], "length")
    assert " ms (" in plain(brief.evidence)
    assert "times shorter)" in brief.evidence
    endless = only(judge(with_first(cell(2), run("1", take(1, seconds=120.0))))["1"], "length")
    assert "(4.0 times as long)" in endless.evidence


def test_a_take_that_was_cut_alone_is_neither_judged_by_its_length_nor_a_measure_of_it() -> None:
    alone = run("1", take(1, seconds=20.0), cut_alone=True)
    found = judge(with_first(cell(), alone))
    assert all("length" not in kinds(faults) for faults in found.values())
