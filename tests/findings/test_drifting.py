"""What an anchor that is not at rest may make in numbers that stand on it."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from tests.findings.bench import cell
from tests.findings.test_crossing import compared, joint

from evenhand.findings.control import Session
from evenhand.findings.drifting import DRIFTS, OUTSIDE, drifted
from evenhand.findings.finding import Cell, Joint, Outcome, Unsteady
from evenhand.findings.steadiness import unsteady_of

START = datetime(2031, 5, 4, 9, 0, tzinfo=UTC)
STILL = (0.0, 0.002, -0.001, 0.001, -0.002)


def unsteady(day: float, *, a_day: float = 0.0, outside: int = 0) -> Unsteady:
    return Unsteady(machine="wren", day=day, a_day=a_day, outside=outside, days=5)


def at(setup: str, seen: Unsteady | None) -> Cell:
    return replace(cell(setup, [3.0, 3.0]), unsteady=seen)


def restless(*, days: float, a_day: float = 0.0, outside: int = 0) -> Joint:
    ends = (unsteady(0.0, a_day=a_day, outside=outside), unsteady(days, a_day=a_day, outside=outside))
    return replace(joint("quay"), unsteady=ends)


def sessions(test: str, logs: tuple[float, ...]) -> list[Session]:
    cells = [cell("wren", [4.0 + log], test=test) for log in logs]
    return [
        Session(at=START + timedelta(days=day), cell=own, under="driver 1") for day, own in enumerate(cells)
    ]


def test_a_drift_makes_its_slope_times_the_days_between_both_runs() -> None:
    cells = {"old": at("wren", unsteady(2.0, a_day=0.01)), "new": at("wren", unsteady(9.0, a_day=0.01))}
    log, told = drifted(cells, {"new": 1.0, "old": -1.0})
    assert log == pytest.approx(0.07)
    (caveat,) = told
    assert caveat.key == DRIFTS
    assert "over the 7 days between" in caveat.told()
    assert "7.25 %" in caveat.told()


def test_one_cell_of_a_machine_by_itself_and_a_machine_at_rest_make_nothing() -> None:
    cells = {"a": at("wren", unsteady(2.0, a_day=0.01)), "b": at("tern", None)}
    assert drifted(cells, {"a": 1.0, "b": -1.0}) == (0.0, [])
    rest = {"a": at("wren", unsteady(2.0)), "b": at("wren", unsteady(9.0))}
    assert drifted(rest, {"a": 1.0, "b": -1.0}) == (0.0, [])


def test_a_bridged_lead_is_called_only_beyond_what_the_drift_may_make() -> None:
    small, great = compared(restless(days=2, a_day=0.005)), compared(restless(days=20, a_day=0.005))
    assert {f.outcome for f in small.findings} == {Outcome.AHEAD}
    assert {f.outcome for f in great.findings} == {Outcome.UNSETTLED}
    for found in (small, great):
        assert all(DRIFTS in {c.key for c in f.caveats} for f in found.findings)
        (caveat,) = (c for c in found.indexes[0].caveats if c.key == DRIFTS)
        assert caveat.tests == ("quay", "mole", "pier")


def test_a_day_outside_its_limits_is_told_and_nothing_is_allowed_for_it() -> None:
    found, bare = compared(restless(days=20, outside=1)), compared(joint("quay"))
    assert [f.bound_low for f in found.findings] == [f.bound_low for f in bare.findings]
    assert all(OUTSIDE in {c.key for c in f.caveats} for f in found.findings)
    assert OUTSIDE in {c.key for c in found.indexes[0].caveats}


def test_the_far_end_of_the_slope_counts() -> None:
    falling = tuple(log - 0.02 * day for day, log in enumerate(STILL))
    found = unsteady_of(sessions("quay", falling), ["wren"])["quay", "wren"]
    assert 0.021 < found.a_day < 0.024
    assert not found.elsewhere
    assert unsteady_of(sessions("quay", STILL), ["wren"]) == {}
    assert unsteady_of(sessions("quay", falling), ["tern"]) == {}


def test_a_drift_in_two_tests_is_trusted_in_no_other() -> None:
    falling = tuple(log - 0.01 * day for day, log in enumerate(STILL))
    made = [*sessions("quay", falling), *sessions("mole", falling), *sessions("pier", STILL)]
    found = unsteady_of([*made, *sessions("weir", STILL[:2])], ["wren"])
    assert found["pier", "wren"].elsewhere
    assert 0 < found["pier", "wren"].a_day < found["quay", "wren"].a_day
    assert found["weir", "wren"].a_day == found["quay", "wren"].a_day


def test_of_several_charts_one_that_drifts_hardly_says_nothing_of_the_others() -> None:
    falling = tuple(log - 0.003 * day for day, log in enumerate(STILL))
    made = [*sessions("quay", falling), *sessions("pier", STILL), *sessions("weir", STILL)]
    assert set(unsteady_of(made, ["wren"])) == {("quay", "wren")}


def test_days_outside_are_counted() -> None:
    odd = (*STILL[:4], -0.3)
    found = unsteady_of(sessions("quay", odd), ["wren"])["quay", "wren"]
    assert (found.outside, found.days, math.isclose(found.a_day, 0.0)) == (1, 5, True)
