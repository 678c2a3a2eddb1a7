from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from tests.triage.cells import plain

from evenhand.records.tests import Direction
from evenhand.triage.limits.levels import WarmUpLimits
from evenhand.triage.warm_up import Timed, TimedCell, first_boots, first_runs, warm_up


def study(
    shifts: Sequence[float],
    *,
    tests: int = 8,
    setups: int = 1,
    boots: Sequence[str | None] = (),
    direction: Direction = Direction.HIGHER,
    seed: int = 1,
    boot_errors: Sequence[float] = (),
) -> list[TimedCell]:
    """Cells whose runs scatter by 1 % about these shifts (ln, positive: higher), in order."""
    rng = np.random.default_rng(seed)
    names = boots or [None] * len(shifts)
    errors = boot_errors or [0.0] * len(shifts)
    return [
        TimedCell(
            test=f"test {t}",
            setup=f"setup {s}",
            direction=direction,
            runs=tuple(
                Timed(
                    value=60 * (1 + t) * float(np.exp(shift + e + 0.01 * rng.standard_normal())),
                    boot=b,
                    order=k,
                )
                for k, (shift, b, e) in enumerate(zip(shifts, names, errors, strict=True))
            ),
        )
        for t in range(tests)
        for s in range(setups)
    ]


def test_first_runs_4_per_cent_slower_are_told_with_what_to_do() -> None:
    note = warm_up(study([-0.04, 0, 0]))
    assert note is not None
    assert note.title == "First runs are slower"
    assert plain(note.evidence).startswith(
        "Over 8 cells of 8 tests the first run of a test is, against the later ones,"
    )
    assert "discarded first run" in note.todo
    assert note.numbers["effect_ln"] == pytest.approx(-0.04, abs=0.012)
    assert note.numbers["low_ln"] < note.numbers["effect_ln"] < note.numbers["high_ln"] < 0
    assert len(note.cells) == 8


def test_first_runs_that_are_quicker_are_told_too() -> None:
    note = warm_up(study([0.04, 0, 0]))
    assert note is not None
    assert note.title == "First runs are quicker"


def test_where_lower_is_better_higher_numbers_are_slower() -> None:
    note = warm_up(study([0.04, 0, 0], direction=Direction.LOWER))
    assert note is not None
    assert note.title == "First runs are slower"


def test_a_slow_decline_is_a_trend_and_not_a_first_run() -> None:
    note = warm_up(study([0.04, 0.02, 0, -0.02, -0.04]))
    assert note is not None
    assert note.title == "Runs get slower from one to the next"
    assert "pause" in note.todo


def test_the_order_on_record_counts_and_not_the_order_given() -> None:
    cells = [
        TimedCell(test=c.test, setup=c.setup, direction=c.direction, runs=c.runs[::-1])
        for c in study([-0.04, 0, 0])
    ]
    assert warm_up(cells) == warm_up(study([-0.04, 0, 0]))


def test_even_studies_are_hardly_ever_told_anything() -> None:
    notes = [warm_up(study([0, 0, 0], seed=seed)) for seed in range(100, 300)]
    assert sum(note is not None for note in notes) <= 5


def test_the_first_run_of_every_boot_is_compared_within_its_boot() -> None:
    boots, shifts = ["b1", "b1", "b1", "b2", "b2", "b2"], [-0.03, 0, 0, -0.03, 0, 0]
    note = warm_up(study(shifts, boots=boots, boot_errors=[0, 0, 0, 0.05, 0.05, 0.05]))
    assert note is not None
    assert note.title == "The first run of each boot is slower"
    assert note.numbers["effect_ln"] == pytest.approx(-0.03, abs=0.01)


def test_a_boot_that_is_slower_as_a_whole_is_no_first_run() -> None:
    boots = ["b1", "b1", "b1", "b2", "b2", "b2"]
    assert warm_up(study([-0.03] * 3 + [0] * 3, boots=boots)) is None


def test_where_every_run_has_its_own_boot_the_boots_error_is_allowed_for() -> None:
    boots = ["b1", "b2", "b3"]
    small, large = study([-0.008, 0, 0], boots=boots), study([-0.06, 0, 0], boots=boots)
    assert warm_up(study([-0.008, 0, 0], tests=40)) is not None
    assert warm_up(small * 5) is None
    note = warm_up(large)
    assert note is not None
    assert note.title == "The first boot is slower"
    assert "only several runs a boot can tell" in note.todo


def booted(setup: str, *values: float, test: str = "chess") -> TimedCell:
    """A cell of which lower is better, each run in a boot of its own."""
    runs = tuple(Timed(value=v, boot=f"{setup} {k}", order=k) for k, v in enumerate(values))
    return TimedCell(test=test, setup=setup, direction=Direction.LOWER, runs=runs)


@pytest.mark.parametrize(
    "cells",
    [
        [booted("One", 10, 12), booted("Two", 11, 10)],
        [booted("One", 10, 12, 12), booted("Two", 11, 10, 10)],
        [booted("One", 10, 12, 12.1), booted("Two", 11, 10)],
        [booted("One", 10, 12, 12), booted("One", 11, 10, 10, test="draughts")],
    ],
)
def test_cells_that_contradict_each_other_are_no_first_boot(cells: list[TimedCell]) -> None:
    assert warm_up(cells) is None


def test_two_boots_a_setup_have_no_spread_to_be_held_against() -> None:
    assert warm_up(study([-0.06, 0], setups=2, boots=["b1", "b2"])) is None
    assert warm_up(study([-0.06, 0, 0], setups=2, boots=["b1", "b2", "b3"])) is not None


def test_a_single_cell_says_nothing_of_the_study() -> None:
    assert warm_up(study([-0.2, 0, 0, 0, 0], tests=1)) is None


@pytest.mark.parametrize("shifts", [[], [0.0], [0.0, 0.1]])
def test_too_few_runs_say_nothing(shifts: list[float]) -> None:
    assert warm_up(study(shifts)) is None


def test_scores_that_repeat_exactly_and_scores_of_nothing_are_no_crash() -> None:
    def cell(*values: float) -> TimedCell:
        return TimedCell(
            test=str(values),
            setup="a",
            direction=Direction.HIGHER,
            runs=tuple(Timed(value=v, order=i) for i, v in enumerate(values)),
        )

    assert warm_up([cell(5, 5, 5), cell(7, 7, 7), cell(0, 0, 0), cell(float("nan"), 3, 3)]) is None
    assert warm_up([]) is None


def test_two_runs_a_cell_say_something_where_setups_repeat_them() -> None:
    note = warm_up(study([-0.03, 0], setups=2))
    assert note is not None
    assert note.title == "First runs are slower"
    assert warm_up(study([0, 0], setups=2)) is None


def test_both_questions_can_be_asked_alone() -> None:
    limits = WarmUpLimits()
    one = first_runs(study([-0.04, 0, 0]), limits)
    assert one is not None
    assert one.agreeing >= 7
    boots = first_boots(study([-0.04, 0, 0], setups=2, boots=["b1", "b2", "b3"]), limits)
    assert boots is not None
    assert boots.effect == pytest.approx(-0.04, abs=0.012)
