"""Looks that may be declared, and how strictly each asks."""

from __future__ import annotations

import pytest

from evenhand.errors import BadRecord
from evenhand.plans.looks import CALIBRATED, declared


@pytest.mark.parametrize("known", CALIBRATED, ids=lambda known: ",".join(map(str, known.at)))
def test_a_calibrated_set_has_its_own_levels(known: object) -> None:
    assert declared(known.at) == known  # type: ignore[attr-defined]


def test_fewer_looks_than_calibrated_for_take_the_mildest_levels_that_hold() -> None:
    assert declared((3, 5)).ahead == 0.0205
    assert declared((3, 6)).ahead == 0.019
    assert declared((5, 12)).ahead == 0.016
    assert declared((4, 7, 9)).ahead == 0.011


def test_a_single_look_needs_no_correction() -> None:
    assert (declared((5,)).ahead, declared((5,)).level) == (0.05, 0.05)


@pytest.mark.parametrize("looks", [(), (5, 3), (3, 3), (1, 3), (0,)])
def test_looks_that_do_not_rise_from_two_runs_are_refused(looks: tuple[int, ...]) -> None:
    with pytest.raises(BadRecord, match="rising numbers"):
        declared(looks)


def test_looks_nobody_calibrated_are_refused() -> None:
    with pytest.raises(BadRecord, match="no levels are known for looks at 2, 20 runs"):
        declared((2, 20))


def test_which_look_stands_and_which_is_next() -> None:
    looks = declared((3, 5, 8))
    assert [looks.passed(n) for n in (2, 3, 4, 8, 9)] == [None, 3, 3, 8, 8]
    assert [looks.after(n) for n in (2, 3, 4, 8)] == [3, 5, 5, None]
